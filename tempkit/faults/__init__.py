"""What each fault does to volts, codes and log; from a log back to its causes; the bench card."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "card": "bench_card card_text hand_test",
        "card_page": "write",
        "cases": "HandTest heard_lines points record",
        "deciding_checks": "tell_apart",
        "evidence": "read_lines signs NEEDS_CODE SIGNS",
        "kinds": "fault possible FAULTS",
        "mismatch": "heard",
        "ranking": "alike_keys rank Ranking signatures",
        "wiring": "meter_limits_v Points voltages Wiring",
    },
)
