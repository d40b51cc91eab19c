"""Practice for chapter 04, second part: integer arithmetic, and how a slip in it is found."""

import math

from tempkit.homework.problem import Choice, Column, Draw, Number, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n
from tempkit.integers import nearest

CODES = Draw("code", (153, 139, 144, 148, 157, 162, 170))
EXACT = "An integer result: it is right or it is not."
WORD = 2**16


def _wrapped(product):
    """A product as a 16-bit signed integer holds it: two's complement, the higher bits lost."""
    low = product & (WORD - 1)
    return low - WORD if low & (WORD >> 1) else low


overflow = Problem(
    "04-overflow", 1, "Sixteen bits are not enough",
    "Work out what a 16-bit signed integer makes of a product that does not fit.",
    text="A program works out {code} × {factor} in 16-bit signed integers (−32768 to 32767). The product"
         " does not fit: only its lowest 16 bits stay, read in two's complement. Which value is left? (The"
         " C standard promises nothing here; this is what such machines commonly do.)",
    figures=(CODES, Draw("factor", (5000, 3300, 500, 330))),
    answer=Number(
        lambda f: _wrapped(f.code * f.factor), "number", "", 0.0, EXACT,
        wrong=(
            Wrong("no-overflow", lambda f: f.code * f.factor,
                  "This is the whole product. How many bits does it need?"),
            Wrong("unsigned", lambda f: f.code * f.factor % 65536,
                  "These are the lowest 16 bits without a sign. What does the topmost bit mean here?"),
            Wrong("saturated", lambda f: 32767,
                  "Integers do not stop at their highest value: they wrap round."),
            Wrong("wrong-modulus", lambda f: f.code * f.factor % 32768,
                  "One turn of the wheel has 65536 values, negative ones included."),
        ),
        whole=True,
    ),
    hints=("Sixteen bits can hold 65536 different values: a wheel of that many places.",
           "Take 65536 away from the product until what is left fits.",
           "What is left must lie between −32768 and 32767: it may be negative."),
    solution=lambda f: (
        f"Product: {f.code} × {n(f.factor)} = {n(f.code * f.factor)}\n"
        f"Whole turns: {n(round(f.code * f.factor / 65536))} × 65536"
        f" = {n(round(f.code * f.factor / 65536) * 65536)}\n"
        f"Left: {n(f.code * f.factor)} − {n(round(f.code * f.factor / 65536) * 65536)}"
        f" = {n(f.code * f.factor - round(f.code * f.factor / 65536) * 65536)}"
    ),
)

divide_first = Problem(
    "04-divide-first", 1, "Dividing first",
    "See what the order of multiplication and division costs in integers.",
    text="All numbers are integers; a division drops the remainder. A program works out the millivolts as"
         " ({supply_mv} ÷ {count}) × {code}, the division first. Which number comes out?",
    figures=(
        Draw("code", (153, 139, 144, 148, 157, 162, 170)),
        Draw("supply_mv count", ((5000, 1024), (3300, 1024), (4750, 1024), (5000, 256), (3300, 256))),
    ),
    answer=Number(
        lambda f: f.supply_mv // f.count * f.code, "number", "", 0.0, EXACT,
        wrong=(
            Wrong("multiplied-first", lambda f: f.supply_mv * f.code // f.count,
                  "Here the product was made first. The brackets say otherwise."),
            Wrong("floating-point", lambda f: f.supply_mv / f.count * f.code,
                  "This keeps the remainder. What does an integer division do with it?"),
            Wrong("rounded-division", lambda f: math.floor(f.supply_mv / f.count + 0.5) * f.code,
                  "The division was rounded. An integer division goes down."),
            Wrong("zero", lambda f: 0,
                  "Nothing is left only where the upper number is the smaller one. Look again."),
        ),
        whole=True,
    ),
    hints=("Do the brackets first, and drop the remainder at once.",
           "Multiply what is left by the code."),
    solution=lambda f: (
        f"{n(f.supply_mv)} ÷ {n(f.count)}, without the remainder: {n(f.supply_mv // f.count)}\n"
        f"{n(f.supply_mv // f.count)} × {f.code} = {n(f.supply_mv // f.count * f.code)}"
    ),
)

integer_tenths = Problem(
    "04-integer-tenths", 1, "Tenths of a degree in integers",
    "Follow a whole integer route from a code to tenths of a degree.",
    text="A sensor gives 500 mV at 0 °C and 10 mV/°C, so one millivolt is a tenth of a degree. A program"
         " with 32-bit integers works out code × {supply_mv} ÷ 1024 − 500; the division drops the"
         " remainder. Which number of tenths does code {code} give?",
    figures=(CODES, Draw("supply_mv", (5000, 4750, 4830, 5120, 4900))),
    answer=Number(
        lambda f: f.code * f.supply_mv // 1024 - 500, "number", "", 0.0, EXACT,
        wrong=(
            Wrong("rounded", lambda f: round(f.code * f.supply_mv / 1024) - 500,
                  "The division was rounded. An integer division drops the remainder."),
            Wrong("forgot-offset", lambda f: f.code * f.supply_mv // 1024,
                  "This is the voltage in millivolts. The last step of the route is missing."),
            Wrong("whole-degrees", lambda f: (f.code * f.supply_mv // 1024 - 500) // 10,
                  "These are whole degrees. The question asks for tenths."),
            Wrong("divided-first", lambda f: f.supply_mv // 1024 * f.code - 500,
                  "The division was done too early. Multiply first, as written."),
        ),
        whole=True,
    ),
    hints=("Go from left to right: multiply, divide, take away.",
           "After the division drop what stands behind the point."),
    solution=lambda f: (
        f"Product: {f.code} × {n(f.supply_mv)} = {n(f.code * f.supply_mv)}\n"
        f"÷ 1024, without the remainder: {n(f.code * f.supply_mv // 1024)}\n"
        f"Tenths: {n(f.code * f.supply_mv // 1024)} − 500 = {n(f.code * f.supply_mv // 1024 - 500)}"
    ),
)

nothing_left = Problem(
    "04-nothing-left", 2, "A quotient of two constants",
    "Foresee what C makes of a quotient of two integer constants.",
    text="A program in C works out volts = {volts} / {count} * code, where code is an int and volts a"
         " double. What stands in volts for code {code}?",
    figures=(Draw("volts", (5, 3)), Draw("count", (1024, 4096)), Draw("code", (153, 612, 448))),
    answer=Choice(
        options=(
            Option("right-volts", "The right voltage: volts is a double, so all is worked out in doubles",
                   "The variable on the left does not decide how the right side is worked out."),
            Option("whole-volts", "The voltage without its fraction: one integer division, at the end",
                   "There is one integer division, not at the end. In which order are / and * done?"),
            Option("zero", "Zero, here and for every other code of the converter",
                   "The quotient comes first, both numbers are integers, and the upper one is smaller."),
            Option("compiler", "No compiler takes this line: the types do not fit",
                   "It is sound C. An int turns into a double without a word, too late to help."),
        ),
        right="zero",
    ),
    hints=("Of / and * the left one is done first.",
           "What is left of a small integer divided by a larger one?"),
    solution=lambda f: (
        f"{n(f.volts)} / {n(f.count)} is an integer division: 0 remains, and 0 times any code is 0."
        f" Write {n(f.volts)}.0 / {n(f.count)}.0 instead. (ISO C, multiplicative operators: quotients of"
        " integers are truncated, and operators of one rank are taken from the left.)"
    ),
)



def _cut(value):
    return math.trunc(value)


def _pair(f, rule):
    return ((rule(f.warm),), (rule(f.cold),))


half_divisor = Problem(
    "04-half-a-divisor", 1, "Half a divisor, and whose sign",
    "Round an integer division to the nearest, below zero too.",
    text="A program in C holds a temperature as a whole number of hundredths of a degree and wants whole tenths, to the"
         " nearest. The division by 10 cuts off towards zero. Which tenths does a sound program get from {warm} and"
         " which from {cold}?",
    figures=(Draw("warm", (2147, 1836, 2258, 1979, 2706)), Draw("cold", (-123, -354, -42, -214, -531))),
    answer=Table(
        rows=lambda f: (f"From {n(f.warm)} hundredths", f"From {n(f.cold)} hundredths"),
        columns=(Column("tenths", "number", "", 0.0, whole=True),),
        value=lambda f: _pair(f, lambda hundredths: nearest(hundredths, 10)),
        reason=EXACT,
        wrong=(
            Wrong("cut-off", lambda f: _pair(f, lambda x: _cut(x / 10)),
                  "Nothing was added before the division: what stands behind the point is simply gone."),
            Wrong("always-plus", lambda f: _pair(f, lambda x: _cut((x + 5) / 10)),
                  "Half the divisor was added both times. Where does that move a number below zero?"),
            Wrong("always-down", lambda f: _pair(f, lambda x: x // 10),
                  "Both were taken down to the next whole number. Asked is the nearest, and C does not go down below"
                  " zero."),
            Wrong("whole-divisor", lambda f: _pair(f, lambda x: _cut((x + math.copysign(10, x)) / 10)),
                  "All of the divisor was added. That makes one more, whatever the remainder."),
        ),
    ),
    hints=("Half the divisor is 5. Add it before dividing, away from zero.",
           "Below zero, away from zero is downwards: there the half is taken off."),
    solution=lambda f: "\n".join(
        f"({n(x)} {'+' if x > 0 else '−'} 5) ÷ 10, without the remainder = {n(_cut((x + math.copysign(5, x)) / 10))}"
        for x in (f.warm, f.cold)
    ),
)

believable = Problem(
    "04-believable", 2, "Two claims that could be true",
    "Find a slip whose claim could be true.",
    text="Two boards hang side by side. One program divides by 1023 where it should divide by 1024, the other holds"
         " {belief_mv} mV for a reference of 5000 mV. In a room of {room_c} °C both print temperatures that a room may"
         " have. How are such slips found, and told from an honest board?",
    figures=(Draw("belief_mv", (4900, 5100, 4950, 5080)), Draw("room_c", (21, 19.5, 22, 23.5))),
    answer=Choice(
        options=(
            Option("mean", "By a longer record: the mean of an hour gives them away",
                   "Both are wrong in each reading alike. Is there anything in the record to see it by?"),
            Option("sense", "By common sense: a wrong line prints a temperature that cannot be",
                   "Then a claim that can be would be a right one. Is each of the two a claim that can be?"),
            Option("one", "By comparing with a good thermometer, once, in the room",
                   "Where two lines cross, a wrong one agrees, too. What would a second place show?"),
            Option("two", "By reading the line, and comparing at temperatures far apart",
                   "The line tells what is wrong; two places apart tell that something is."),
        ),
        right="two",
    ),
    hints=("A slip that prints frost in summer is found at once. These do not.",
           "A wrong line can cross the right one somewhere. What shows that it does?"),
    solution=lambda f: "Read each line of the program against the chain, and compare at two temperatures well apart,"
                       " ice and a warm hand for instance. A record of its own cannot show what is wrong in all of it.",
)

INTEGERS = (overflow, divide_first, integer_tenths, nothing_left, half_divisor, believable)
