"""Practice for chapter 07, third part: the states of an alarm, reading by reading, and those who live with it."""

from tempkit.alarm import Alarm
from tempkit.homework.problem import Choice, Column, Draw, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n

# Eight readings as tenths of a degree from the limit: each list meets equality, the deadband, and both ways out of it.
TENTHS = (
    (-3, 0, 2, 1, -2, -4, -6, -1),
    (-1, 1, -3, -5, -4, -7, 0, 3),
    (0, -2, 4, -5, -1, -6, -3, 0),
    (-4, 3, 1, -1, -5, 2, -8, -2),
    (2, -4, -5, -2, 0, -6, 0, 1),
    (-6, 0, 0, 5, -3, -5, -9, 1),
)
NAMES = " ".join(f"d{k}" for k in range(1, 9))


def _readings(f):
    return [round(f.high_c + tenths / 10, 1) for tenths in f[1:]]


def _rows(states):
    return tuple((int(state),) for state in states)


def _walk(f, raises, returns):
    """States by the rule itself, one reading after the other: the second route, and that of the wrong ways."""
    state, found = 0, []
    for d in f[1:]:
        state = 0 if state and returns(d) else 1 if raises(d) else state
        found.append(state)
    return found


def _solution(f):
    states = _walk(f, lambda d: d > 0, lambda d: d < -5)
    before = [0, *states]
    return "\n".join(
        f"{n(reading)} °C: {_why(d, before[k])}, state = {states[k]}"
        for k, (reading, d) in enumerate(zip(_readings(f), f[1:], strict=True))
    )


def _why(tenths, raised):
    if tenths > 0:
        return "above the limit"
    if tenths < -5:
        return "below the deadband"
    return "not below the deadband, it stays raised" if raised else "not above the limit, it stays down"


eight_states = Problem(
    "07-eight-states", 1, "Eight readings, eight states",
    "Follow an alarm with a deadband from one reading to the next.",
    text=lambda f: f"An alarm is raised above {f.high_c} °C, at once, and has a deadband of 0.5 °C. It is not raised"
                   f" yet. The readings are, in order, {', '.join(n(r) for r in _readings(f))} °C. What is its state at"
                   " each reading? Write 1 where it is raised and 0 where it is not.",
    figures=(Draw("high_c", (27, 26, 28, 25, 29)), Draw(NAMES, TENTHS)),
    answer=Table(
        rows=lambda f: tuple(f"Reading {k}, {n(reading)} °C" for k, reading in enumerate(_readings(f), 1)),
        columns=(Column("state", "number", "", 0.0, whole=True),),
        value=lambda f: _rows(Alarm(high_c=float(f.high_c), deadband_c=0.5).run(_readings(f)).state),
        reason="A state is raised or it is not.",
        wrong=(
            Wrong("no-deadband", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: d <= 0)),
                  "The alarm was taken back as soon as the reading was not above the limit. What is the deadband for?"),
            Wrong("equality-raises", lambda f: _rows(_walk(f, lambda d: d >= 0, lambda d: d < -5)),
                  "A reading equal to the limit was taken as above it."),
            Wrong("equality-returns", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: d <= -5)),
                  "A reading just at the edge of the deadband was taken as below it."),
            Wrong("never-returns", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: False)),
                  "Once raised, it stayed raised for good. Where does it return?"),
            Wrong("deadband-above", lambda f: _rows(_walk(f, lambda d: d > 5, lambda d: d <= 0)),
                  "The deadband was put above the limit. It delays the way back, not the call."),
        ),
    ),
    hints=("Go from left to right and keep the state in mind: what would change it at this reading?",
           "Down, it changes only above the limit. Raised, only below the limit less the deadband."),
    solution=_solution,
    echoes=True,
)  # fmt: skip

people = Problem(
    "07-power-on", 1, "Power-on, test, silence",
    "Know what an alarm does at power-on, at a test, and when it is silenced.",
    text="An alarm with lamp and buzzer is built for people who live with it. Which of these does it have to do? Choose"
         " all.",
    figures=(),
    answer=Choice(
        options=(
            Option("normal", "At power-on it takes the state for normal until a reading says otherwise",
                   "Normal is a claim. What does it know before the first valid reading?"),
            Option("unknown", "At power-on its state is not yet known, and it says so if it is asked",
                   "Before the first valid reading there is nothing to go by."),
            Option("test", "A button switches lamp and buzzer on, and changes nothing else",
                   "A dead buzzer is silent in both cases; only a test tells."),
            Option("reset", "The test button clears the state, so that all begins anew",
                   "Then a test would hide a call. What should a test touch?"),
            Option("clear", "Silence clears the alarm: the lamp goes out with the buzzer",
                   "The bench is as warm as before. Who still sees that?"),
            Option("stays", "Silence stops the buzzer alone, and a new call brings it back",
                   "The state stays, the lamp stays lit, and what is new is heard."),
        ),
        right=("unknown", "test", "stays"),
        several=True,
    ),
    hints=("Of each: is there a moment at which somebody would believe something that is not so?",
           "A test and a silence are for ears and eyes. What is the state made of?"),
    solution=lambda f: "Not yet known until the first valid reading; a test that switches both outputs on and changes"
                       " nothing else; a silence that stops the sound, not the alarm, and ends with a new call.",
)

STATES = (eight_states, people)
