"""A prediction put to a class: hands are counted, the answer is held until it is revealed, one switch sizes all."""

import re

import ipywidgets
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.book import choose
from tempkit.draw import boxes
from tempkit.exercises import Amount, Idea, Prediction, Wrong, practice
from tempkit.explorers import reference
from tempkit.explorers.panel import number_in
from tempkit.explorers.prediction import MOST, Hands, PredictionBox

ASKED = Prediction(
    "03-supply", "What does the board print?", "Now move the supply.", "The supply sags.",
    number=Amount(
        lambda: 28.86, "°C", 1, "temperature",
        wrong=(Wrong("unmoved", lambda: 25.0, "The sensor does not care; the converter does."),),
    ),
    explorer="reference", settings={"true_v": 4.75},
)  # fmt: skip
CHOSEN = Prediction(
    "03-socket", "What changed with the socket?", "Now move the supply.", "Smaller steps are more steps.",
    options=(
        Idea("The converter compares with less", right=True),
        Idea("The sensor gives out more volts", refuted="A meter finds the same as before.", source="ours"),
        Idea("The program has a new fault now", refuted="It does the same sum as before.", source="ours"),
    ),
    explorer="reference", settings={"true_v": 4.75},
)  # fmt: skip
LURES = ("sensor", "A meter finds the same as before."), ("program", "It does the same sum as before.")
LETTER = {idea.text.split()[1]: letter for letter, idea in zip("ABC", CHOSEN.ideas, strict=True)}


def question(asked=ASKED, explorer=None, **options):
    return PredictionBox(asked, explorer, **options)


def seen(box):
    """All that the box has on the page, as text."""
    return " ".join(part.value for part in box.children if isinstance(getattr(part, "value", None), str))


def buttons(box):
    """Those on the page, in reading order."""
    for part in box.children:
        if part.layout.display == "none":
            continue
        if isinstance(part, ipywidgets.Button):
            yield part
        yield from buttons(part) if hasattr(part, "children") else ()


def press(box, name):
    (button,) = [button for button in buttons(box) if button.description == name]
    button.click()


def test_the_answer_is_held_until_it_is_revealed():
    stage = reference.explorer()
    box = question(explorer=stage, held=True)
    for number, hands in (("25", 12), ("28,9 °C", "6"), ("24.5", 1)):
        told = box.hands(number, hands)
        assert "28.86" not in seen(box) and "answer</td>" not in seen(box) and "The supply" not in seen(box)
        assert told.endswith("The answer is held back until it is revealed.")
    assert told.startswith("19 hands: 1 for 24.5 °C, 12 for 25.0 °C, 6 for 28.9 °C.")
    assert stage.settings()["true_v"] == 5.0
    told = box.reveal()
    assert "It is 28.9 °C: 6 of 19 hands had it. The explorer now stands there. The supply sags." in told
    assert told.endswith("About 25.0 °C: The sensor does not care; the converter does.")
    assert stage.settings()["true_v"] == 4.75
    assert re.search(r'class="tempkit-answer"><th scope="row">28.9 °C</th><td>6</td>.*◀ the answer', seen(box))


def test_an_answer_nobody_gave_stands_in_its_place_among_the_hands():
    box = question(held=True)
    box.hands("30", 3)
    box.hands("20", 2)
    assert "nobody had it; closest was 30.0 °C, with 3 hands." in box.reveal()
    rows = re.findall(r'<th scope="row">([^<]*)</th><td>(\d+)', seen(box))
    assert rows == [("20.0 °C", "2"), ("28.9 °C", "0"), ("30.0 °C", "3")]


def test_a_slip_is_corrected_and_taken_away():
    box = question(held=True)
    box.hands("25", 12)
    assert "21 hands: 21 for 25.0 °C." in box.hands("25.0", 21)
    assert "No hands are counted yet." in box.hands("25", 0)
    assert "<table" not in seen(box)


def test_what_cannot_be_counted_is_said_and_changes_nothing():
    box = question(held=True)
    box.hands("25", 12)
    before = box.words()
    for number, hands, part in (
        ("warm", 3, "Prediction:"),
        ("25 V", 3, "The unit here is °C"),
        ("25", "many", "'many' is no count. Write a whole number from 0 to 1000."),
        ("25", "2.5", "no count"),
        ("25", MOST + 1, "no count"),
        ("25", -1, "no count"),
        ("25", "", "no count"),
    ):
        assert part in box.hands(number, hands)
        assert box.words() == before


def test_by_buttons_and_fields_as_an_instructor_does():
    box = question(held=True)
    box._number.value, box._count.value = "25", "12"
    assert "12 hands: 12 for 25.0 °C" in seen(box) and box._number.value == box._count.value == ""
    press(box, "Count")  # with nothing typed nothing happens
    assert "12 hands: 12 for 25.0 °C" in seen(box)
    box._number.value, box._count.value = "25", "x"
    assert "no count" in seen(box) and box._number.value == "25"
    press(box, "Reveal")
    assert "It is 28.9 °C" in seen(box) and box.revealed
    press(box, "Count anew")
    assert "28.9" not in seen(box) and not box.revealed and "No hands" in seen(box)
    press(box, "One alone")
    assert box._class.layout.display == "none" and box._alone.layout.display == "flex"
    assert box.commit("28.9").startswith("You predict 28.9 °C.")
    press(box, "As I said")
    assert "You said 28.9 °C; it is 28.9 °C. You had it." in seen(box)
    press(box, "Show of hands")
    assert box.held and "You said" not in seen(box)


def test_hands_for_ideas_are_counted_held_and_refuted():
    stage = reference.explorer()
    box = question(CHOSEN, stage, held=True)
    assert [field.description for field in box._counts] == ["hands for A", "hands for B", "hands for C"]
    for field, hands in zip(box._counts, ("4", "12", ""), strict=True):
        field.value = hands
        assert "<b" not in seen(box) and "Smaller steps" not in seen(box) and "the answer<" not in seen(box)
    assert "16 hands: 4 for A, 12 for B. The answer is held back" in seen(box)
    box._counts[2].value = "x"
    assert "no count" in seen(box)
    box._counts[2].value = "3"
    press(box, "Count")
    assert "19 hands: 4 for A, 12 for B, 3 for C." in seen(box) and stage.settings()["true_v"] == 5.0
    press(box, "Reveal")
    right = LETTER["converter"]
    assert f"It is {right}: " in seen(box) and "Smaller steps are more steps." in seen(box)
    assert all(f"About {LETTER[who]}: {why}" in seen(box) for who, why in LURES)
    assert f"About {right}" not in seen(box) and stage.settings()["true_v"] == 4.75
    assert re.search(rf'answer"><th scope="row">{right}: The converter compares with less</th>', seen(box))
    press(box, "Count anew")
    assert "No hands" in seen(box) and "Smaller" not in seen(box) and not any(f.value for f in box._counts)


def test_only_lures_that_got_hands_are_refuted():
    box = question(CHOSEN, held=True)
    box.hands(LETTER["sensor"].lower(), 5)
    box.hands(LETTER["converter"], "2")
    told = box.reveal()
    assert f"About {LETTER['sensor']}" in told and f"About {LETTER['program']}" not in told
    rows = re.findall(r'<th scope="row">(.)[^<]*</th><td>(\d+)', seen(box))
    assert dict(rows) == {LETTER["sensor"]: "5", LETTER["converter"]: "2", LETTER["program"]: "0"}
    assert "Prediction: Choose one of A, B, C." in box.hands("D", 3)
    assert "nobody had it" in (box.hands(LETTER["converter"], 0), box.reveal())[1]


def test_hands_are_told_where_nothing_runs():
    box = question(held=True)
    assert box.words() == "Predict first: What does the board print?" and "<table" not in box.static_html()
    box.hands("25", 12)
    assert box.words().endswith("12 hands: 12 for 25.0 °C. The answer is held back until it is revealed.")
    assert '<th scope="row">25.0 °C</th><td>12</td>' in box.static_html() and "28.9" not in box.static_html()


def test_back_row_size_holds_the_answer():
    assert not question().held
    choose(room=True)
    assert question().held and not question(held=False).held


def test_one_switch_sizes_all_that_a_notebook_shows():
    stage, other, asked, cards = reference.explorer(), reference.explorer(), question(), practice("02")
    unseen = question()
    for box in (stage, other, asked, cards):
        box._repr_mimebundle_()
    stage._room_button.value = True
    assert all("tempkit-room" in box._dom_classes for box in (stage, other, asked, cards))
    assert other.book.room and other._room_button.value and 'width="1080"' in other._image.value
    assert asked.held and "tempkit-room" not in unseen._dom_classes
    other._room_button.value = False
    assert not any("tempkit-room" in box._dom_classes for box in (stage, other, asked, cards))
    assert 'width="960"' in stage._image.value and not stage._room_button.value and not asked.held
    boxes.ON_PAGE.clear()


@given(st.dictionaries(st.integers(-50, 50), st.integers(1, MOST), max_size=8), st.integers(-50, 50))
def test_every_hand_is_told_once(votes, answer):
    hands = Hands(lambda text: number_in(text, ""), lambda number: f"{number:.0f}")
    for number, count in votes.items():
        assert hands.count(number, count) == ""
    assert hands.total == sum(votes.values())
    told = hands.words(answer)
    for number, count in votes.items():
        assert f"{count} for {number}" in told
    had = votes.get(answer, 0)
    assert (f"{had} of {hands.total} hand" in told) == bool(had)
    table = hands.table("asked", answer)
    assert table.count("◀ the answer") == 1 and table.count("<tr") == len(votes | {answer: 0}) + 1


def test_no_hand_is_lost_to_a_number_printed_alike():
    hands = Hands(lambda text: number_in(text, "°C"), lambda number: f"{number:.1f} °C")
    hands.count("25.01", 3)
    hands.count("25", 4)
    assert hands.votes == {25.01: 4} and hands.total == pytest.approx(4)
