"""A requirement in numbers, against every combination of a catalogue of parts."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "combinations": "assemble Choice places_of price_of search PERIOD_S SAMPLES",
        "parts": "catalogue",
        "requirement": (
            "binding check doubt Line margin_told noise_left reach Requirement requirement_told told verdict_told "
            "wanted_told MISFITS PRICE"
        ),
    },
)
