"""Practice for chapter 05, third part: what trials say about the formula, and how many of them it takes."""

from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.montecarlo import numerical_tolerance


def _room(f, digits):
    return numerical_tolerance(f.u_c, digits)


def _apart(f):
    return max(abs(f.low_c + 1.96 * f.u_c), abs(f.high_c - 1.96 * f.u_c))


def _digits(f):
    """How many digits of u the formula is good for: 0, 1 or 2."""
    return max((digits for digits in (1, 2) if _apart(f) <= _room(f, digits)), default=0)


def _remark(digits, text):
    return lambda f: text if digits == _digits(f) else (
        "Both ends have to lie within half a unit of the last digit that is claimed. How far apart are these?"
    )


clause_8 = Problem(
    "05-clause-8", 1, "Formula or trials?",
    "Judge by trials how far the formula may be used.",
    text="By the formula u is {u_c} °C, so 95 % of the errors lie within ±1.96 u. A million trials of the same"
         " budget put 95 % of them between {low_c} °C and {high_c} °C. JCGM 101, clause 8: both ends have to agree"
         " within half a unit of the last digit of u that one wants to claim. How many digits of u may be claimed from"
         " the formula?",
    figures=(
        Draw("u_c low_c high_c", (
            (2.54, -4.59, 5.06), (1.27, -2.47, 2.51), (3.12, -5.98, 6.27), (2.31, -3.55, 4.92), (1.43, -2.83, 2.77),
            (4.21, -7.35, 8.64),
        )),
    ),
    answer=Choice(
        options=(
            Option("two", "Two digits", _remark(2, "Both ends agree within half a unit of the second digit.")),
            Option("none", "None: report the interval of the trials",
                   _remark(0, "Even half a unit of the first digit is too little for the worse of the two ends.")),
            Option("one", "One digit", _remark(1, "Within half a unit of the first digit, not of the second.")),
        ),
        right=lambda f: ("none", "one", "two")[_digits(f)],
    ),
    hints=("First 1.96 u. How far is each end of the trials from the formula's?",
           "The larger of the two decides. Compare it with half a unit of the second digit, and of the first."),
    solution=lambda f: (
        f"Formula: ±{n(1.96 * f.u_c, 4)} °C. Ends apart: {n(abs(f.low_c + 1.96 * f.u_c), 2)} °C and"
        f" {n(abs(f.high_c - 1.96 * f.u_c), 2)} °C. Room for two digits {n(_room(f, 2))} °C, for one"
        f" {n(_room(f, 1))} °C: {('none', 'one digit', 'two digits')[_digits(f)]}."
    ),
)


def _more(f):
    return f.known_c / f.wanted_c


trials = Problem(
    "05-trials", 2, "How many trials",
    "Count the trials that a finer end of an interval takes.",
    text="{trials} trials were drawn. Drawn again with other random numbers, the end of their 95 % interval moves by"
         " about {known_c} °C. It shall move by no more than about {wanted_c} °C. How many trials does that take?",
    figures=(Draw("trials", (10000, 20000, 50000)),
             Draw("known_c wanted_c", ((0.05, 0.01), (0.06, 0.02), (0.08, 0.02), (0.05, 0.005)))),
    answer=Number(
        lambda f: f.trials * (f.known_c / f.wanted_c) ** 2, "number", "",
        lambda f: 0.05 * f.trials * _more(f) ** 2,
        "A twentieth: nobody knows such a scatter better.",
        whole=True, wrong=(
            Wrong("in-proportion", lambda f: f.trials * _more(f),
                  "The number was raised in proportion. By what does the scatter of a mean fall?"),
            Wrong("root", lambda f: f.trials * _more(f) ** 0.5,
                  "The root was taken the wrong way round: more than so many are needed, not fewer."),
            Wrong("fewer", lambda f: f.trials / _more(f) ** 2,
                  "These are fewer than now. Does a finer end need fewer trials?"),
            Wrong("fourth", lambda f: f.trials * _more(f) ** 4,
                  "Squared twice. Once is what the root of the number asks for."),
    )),
    hints=("Chance falls with the root of the number of trials.",
           "How many times finer? That, squared, times as many."),
    solution=lambda f: (
        f"Finer: {n(f.known_c)} ÷ {n(f.wanted_c)} = {n(_more(f))} times\n"
        f"{n(f.trials)} × {n(_more(f))}² = {n(f.trials * _more(f) ** 2)}"
    ),
)

TRIALS = (clause_8, trials)
