"""Predictions: the form of every one in the book, its explorer, its cell; and how one is answered alone."""

import ast
import re
from dataclasses import replace

import pytest

import notebooks as book
import tempkit.explorers
from tempkit.book import choose
from tempkit.exercises import Amount, Idea, Prediction, Wrong, prediction, predictions
from tempkit.explorers import predict, reference
from tempkit.explorers.prediction import PredictionBox
from test_hands import ASKED, CHOSEN, LETTER, buttons, press, question, seen

BOOK = predictions()
every_one = pytest.mark.parametrize("name", list(BOOK))
MOST_WORDS = 60
LONGER, ONE_WORD = 1.25, 6  # no option longer than this times the shortest, or by so many characters


def faults(asked):
    """What is not as a prediction of the book must be, in words."""
    if len(asked.why.split()) > MOST_WORDS:
        yield "the reason is long"
    if not re.search(r"[?]$", asked.asks) or not re.search(r"[.?]$", asked.move):
        yield "it does not ask, or does not say what to do"
    lengths = [len(idea.text) for idea in asked.options]
    if lengths and max(lengths) > max(LONGER * min(lengths), min(lengths) + ONE_WORD):
        yield "an option can be told by its length"
    if len({idea.text for idea in asked.options}) < len(asked.options):
        yield "two options say the same"
    if asked.number:
        value, wrong = asked.number.value(), asked.number.wrong
        if len({slip.key for slip in wrong}) < len(wrong):
            yield "two slips have one key"
        least = max(0.5 * 10**-asked.number.digits, asked.number.near)
        yield from (f"slip {slip.key} is the answer" for slip in wrong if abs(slip.value() - value) < least)
        if asked.explorer and not asked.saw:
            yield "nothing says what the explorer shows"


@every_one
def test_form(name):
    assert list(faults(BOOK[name])) == []
    assert BOOK[name].id == name and name in predictions(int(name[:2]))


def test_a_bad_form_is_found():
    lure = Idea("It is the program's new and other fault", refuted="No.", source="ours")
    amount = replace(ASKED.number, wrong=(Wrong("same", lambda: 28.87, ""), Wrong("same", lambda: 5, "")))
    for bad, part in (
        (replace(CHOSEN, why="word " * 61), "reason"),
        (replace(CHOSEN, asks="Say it."), "ask"),
        (replace(CHOSEN, options=(*CHOSEN.options[:2], replace(lure, text=lure.text * 2))), "length"),
        (replace(CHOSEN, options=(*CHOSEN.options[:2], CHOSEN.options[1])), "the same"),
        (replace(ASKED, number=amount), "one key"),
        (replace(ASKED, number=amount), "slip same is the answer"),
        (ASKED, "nothing says"),
    ):
        assert any(part in fault for fault in faults(bad)), part


@pytest.mark.parametrize(
    ("make", "part"),
    [
        (lambda: replace(CHOSEN, options=CHOSEN.options[:2]), "2 options"),
        (lambda: replace(CHOSEN, options=(*CHOSEN.options, CHOSEN.options[1])), "4 options"),
        (lambda: replace(CHOSEN, fourth="for symmetry"), "3 options"),
        (lambda: replace(CHOSEN, options=CHOSEN.options[:1] * 3), "3 right"),
        (lambda: replace(CHOSEN, options=CHOSEN.options[1:] + CHOSEN.options[1:2]), "0 right"),
        (lambda: replace(CHOSEN, number=ASKED.number), "either"),
        (lambda: replace(ASKED, number=None), "either"),
        (lambda: replace(ASKED, id="new-socket"), "03-new-socket"),
        (lambda: replace(CHOSEN, saw=lambda result: 1), "a number"),
        (lambda: Idea("The sun", refuted="At night too."), "source"),
        (lambda: Idea("The sun", source="ours"), "refuted"),
        (lambda: Idea("The sun", right=True, refuted="At night too."), "right and refuted"),
        (lambda: Amount(lambda: 25.0, "°C"), "temperature span"),
        (lambda: Amount(lambda: 2.5, "V", quantity="temperature"), "no quantity"),
    ],
)
def test_what_is_no_prediction_is_refused(make, part):
    with pytest.raises(ValueError, match=part):
        make()


def test_a_fourth_option_has_its_reason():
    fourth = Idea("The air in the tray got warmer", refuted="A thermometer says no.", source="ours")
    four = replace(CHOSEN, options=(*CHOSEN.options, fourth), fourth="named by every second class")
    assert question(four).words().splitlines()[-1].startswith("D: ")


@pytest.mark.parametrize("name", [name for name, asked in BOOK.items() if asked.explorer])
def test_the_explorer_takes_the_settings_and_shows_the_answer(name):
    asked = BOOK[name]
    explorer = getattr(tempkit.explorers, asked.explorer).explorer()
    box = predict(name, explorer=explorer, held=False)
    box.commit("1") if asked.number else box.commit("A")
    box.go()
    for control, value in asked.settings.items():
        assert explorer.settings()[control] == (pytest.approx(value) if isinstance(value, float) else value)
    if asked.number:
        shown, answer = asked.saw(explorer.result()), asked.number.value()
        assert shown == pytest.approx(answer, abs=max(asked.number.near, 0.51 * 10**-asked.number.digits))


def test_an_explorer_that_cannot_show_it_is_refused():
    with pytest.raises(ValueError, match=r"no control divisor, edge: 02-divisor is seen in one made by bit_depth"):
        predict("02-divisor", explorer=reference.explorer())


def cells():
    """Every cell of the book that predicts: notebook, id, source, output."""
    for path in book.in_the_book():
        for cell in book.read(path).cells:
            if cell.cell_type == "code" and re.search(r"(?<![.])\bpredict\(", cell.source):
                yield pytest.param(path, cell, id=f"{path.stem[:3]}{cell.id}")


@pytest.mark.parametrize(("path", "cell"), list(cells()))
def test_neither_cell_nor_output_gives_the_answer_away(path, cell):
    calls = [node for node in ast.walk(ast.parse(cell.source)) if isinstance(node, ast.Call)]
    (call,) = [node for node in calls if getattr(node.func, "id", "") == "predict"]
    (which,) = call.args
    assert which.value in predictions(int(path.stem[:2]))
    assert all(word.arg in ("explorer", "held") for word in call.keywords)
    assert all(isinstance(word.value, ast.Name | ast.Constant) for word in call.keywords)
    asked = BOOK[which.value]
    told = predict(which.value).words()
    ((output,)) = cell.outputs
    assert "".join(output.data["text/plain"]) == told
    untold = [asked.why, *(idea.refuted for idea in asked.options), *(slip.remark for slip in wrong_of(asked))]
    for text in filter(None, untold):
        assert text not in told and text not in cell.source


def wrong_of(asked):
    return asked.number.wrong if asked.number else ()


def test_an_unknown_id_lists_what_there_is():
    with pytest.raises(ValueError, match=r"no prediction '02-steps': chapter 02 has 02-finer-board, 02-step, 02-"):
        predict("02-steps")
    for which in ("97-x", "socket", "", 3.5, "0"):
        with pytest.raises(ValueError, match="there is no prediction"):
            prediction(which)


# ---- alone


def test_a_number_is_committed_looked_at_and_told():
    stage = reference.explorer()
    box = question(explorer=stage)
    assert box.saw(0) == "Predict first, then look." and "As I said" not in names(box)
    assert box.commit("warm") in seen(box) and "As I said" not in names(box)
    assert box.commit("24,5") == "You predict 24.5 °C. Now move the supply."
    hidden = ("28.9", "supply sags", "too low")
    assert not any(text in seen(box) for text in hidden) and stage.settings()["true_v"] == 5.0
    press(box, "Move it there")
    assert stage.settings()["true_v"] == 4.75 and not any(text in seen(box) for text in hidden)
    press(box, "Lower than mine")
    told = "“Lower than mine”: look again, the picture shows something else."
    assert told in seen(box) and "Now move the supply." in seen(box) and not any(text in seen(box) for text in hidden)
    press(box, "Higher than mine")
    assert "You said 24.5 °C; it is 28.9 °C. You were 4.4 °C too low. The supply sags." in seen(box)
    assert "About" not in seen(box)
    assert "28.9" not in box.words() + box.static_html()


@pytest.mark.parametrize(("said", "slip"), [("25", True), ("25.2", True), ("25.3", False), ("28.86", False)])
def test_a_known_slip_is_named(said, slip):
    box = question()
    box.commit(said)
    told = box.saw(1 if said < "28" else 0)
    assert (" About 25" in told and "The sensor does not care" in told) == slip and "The supply sags." in told


def test_near_the_prediction_both_are_so():
    near = question(replace(ASKED, number=replace(ASKED.number, near=0.5)))
    for said, seen_, so in (("28.5", 0, True), ("28.5", 1, True), ("28.5", -1, False), ("28.3", 0, False)):
        near.commit(said)
        assert near.saw(seen_).startswith("You said") == so, said


def test_an_idea_is_committed_looked_at_told_and_refuted():
    box = question(CHOSEN, reference.explorer())
    ideas = [f"{letter}: {idea.text}" for letter, idea in zip("ABC", CHOSEN.ideas, strict=True)]
    assert names(box) == [*ideas, "Show of hands"]
    lure, right = LETTER["sensor"], LETTER["converter"]
    press(box, next(idea for idea in ideas if idea[0] == lure))
    assert f"You predict {lure}. Now move the supply." in seen(box) and "Smaller" not in seen(box)
    assert names(box)[-4:] == ["Move it there", *(f"I saw {idea}" for idea in ideas)]
    press(box, f"I saw {lure}: The sensor gives out more volts")
    assert f"“I saw {lure}: " in seen(box) and "look again" in seen(box)
    assert "Smaller" not in seen(box) and "A meter finds" not in seen(box)
    press(box, f"I saw {right}: The converter compares with less")
    assert (
        f"You predicted {lure}; it is {right}: The converter compares with less. Smaller steps are more steps."
        f" About {lure}: A meter finds the same as before."
    ) in seen(box)
    box.commit(right)
    assert "Smaller" not in seen(box)
    assert box.saw("ABC".index(right)) == (
        f"You had it: {right}: The converter compares with less. Smaller steps are more steps."
    )
    assert box.commit("maybe") == "Choose one of A, B, C."


def test_without_an_explorer_nothing_moves_it():
    box = question(CHOSEN)
    box.commit("A")
    assert "Move it there" not in names(box) and "I saw A: " in " ".join(names(box))


def test_all_that_is_told_is_heard_before_the_next_button():
    box = question(explorer=reference.explorer())
    order = list(box.children)
    assert order.index(box._alone) < order.index(box._told) < order.index(box._look)
    box.commit("25")
    assert box._told.value.count('role="status"') == 1


def test_options_can_be_read_where_nothing_runs():
    words = question(CHOSEN).words()
    assert words.splitlines()[0] == "Predict first: What changed with the socket?"
    assert [line[:3] for line in words.splitlines()[1:]] == ["A: ", "B: ", "C: "]
    assert question(CHOSEN).static_html().count("<p>") == 4 and "Smaller" not in question(CHOSEN).static_html()


def test_the_right_idea_has_no_place_of_its_own():
    places = {[idea.right for idea in replace(CHOSEN, id=f"03-no{n}").ideas].index(True) for n in range(20)}
    assert places == {0, 1, 2}


def test_degrees_are_asked_and_told_in_the_readers_scale():
    choose(scale="degF")
    box = question()
    assert box._field.description == "my prediction, °F"
    box.commit("77")
    assert box.saw(1).startswith("You said 77.0 °F; it is 83.9 °F. You were 6.9 °F too low.")
    assert "About 77.0 °F: The sensor" in box.saw(1)
    assert box.commit("25 °C").startswith("You predict 77.0 °F.")
    span = PredictionBox(prediction("02-step"))
    span.commit("1")
    assert "it is 1.099 °F" in span.saw(1)
    plain = Prediction("03-v", "Volts?", "Look.", "So.", number=Amount(lambda: 0.8, "V", 3))
    assert question(plain)._field.description == "my prediction, V"


def names(box):
    """What the buttons on the page say, in reading order."""
    return [button.description for button in buttons(box)]


def test_what_is_seen_may_be_something_else_than_the_ideas():
    """Where the ideas are causes that nobody sees, what can be seen has words of its own; one of them is so."""
    socket = prediction("03-new-socket")
    asked = replace(socket, looks=("The code moved, the voltage did not", "The voltage moved", "Nothing moved"))
    box = PredictionBox(asked)
    box.commit("A")
    places = {text: place for place, (text, so) in enumerate(asked.seen)}
    assert "look again" in box.saw(places["The voltage moved"]) and socket.why not in seen(box)
    assert socket.why in box.saw(places["The code moved, the voltage did not"])
    with pytest.raises(ValueError, match="two answers or more"):
        replace(socket, looks=("The code moved",))
