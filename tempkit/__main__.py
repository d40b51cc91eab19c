"""The command line: `python -m tempkit COMMAND`. A command is one function and one entry in `parser`."""

import argparse
import sys

from tempkit.board.commands import add_to as add_board
from tempkit.homework.command import add_to as add_homework

PLAIN = {"°": "deg", "±": "+-", "Ω": "ohm", "−": "-", "µ": "u"}


def parser():
    """The commands and what each may be given.

    >>> parser().parse_args(["describe", "bench.toml", "--scale", "degF"]).scale
    'degF'
    """
    top = argparse.ArgumentParser(prog="python -m tempkit", description="From a temperature to a decision.")
    commands = top.add_subparsers(metavar="COMMAND", required=True)
    describe = commands.add_parser("describe", help="say in plain text what a chain file describes")
    describe.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    describe.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    describe.set_defaults(run=_describe)
    budget = commands.add_parser("budget", help="print the error budget of a chain file's reading")
    budget.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    budget.add_argument("--at", metavar="T", type=float, help="true temperature (else the middle of the alarm window)")
    budget.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    budget.set_defaults(run=_budget)
    handout = commands.add_parser("handout", help="bring the book's files into a student's folder, and start a server")
    handout.add_argument("book", metavar="BOOK", help="folder of the book, the one with README.md")
    handout.add_argument("folder", metavar="FOLDER", help="the student's folder; their own work there stays")
    handout.add_argument("command", metavar="COMMAND", nargs=argparse.REMAINDER, help="after --: what to start then")
    handout.set_defaults(run=_handout)
    add_board(commands)
    add_homework(commands)
    bench = commands.add_parser("bench", help="print the bench card of a chain file, for the table beside the bench")
    bench.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    bench.add_argument("--room-c", metavar="T", type=float, default=21.0, help="today's room in degC (else 21)")
    bench.add_argument("--out", metavar="DIR", help="folder that gets the card as text and as a page to print")
    bench.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    bench.set_defaults(run=_bench)
    return top


def _bench(arguments):
    from tempkit import book, chainfile
    from tempkit.benchcard import bench_card, card_text

    chosen = book.Book(arguments.scale or book.current().scale)
    design = chainfile.read(arguments.file)
    card = bench_card(design, arguments.room_c, chosen)
    if arguments.out is None:
        return card_text(card)
    from pathlib import Path

    from tempkit.benchsheet import write

    written = write(card, design, arguments.out, Path(arguments.file).stem)
    return card_text(card) + "".join(f"\nWritten: {path}" for path in written) + "\n"


def _describe(arguments):
    from tempkit import book, chainfile
    from tempkit.describe import describe

    scale = arguments.scale or book.current().scale
    return describe(chainfile.read(arguments.file), book.Book(scale))


def _budget(arguments):
    from tempkit import book, chainfile
    from tempkit.budgettable import budget_table

    scale = arguments.scale or book.current().scale
    return budget_table(chainfile.read(arguments.file), book.Book(scale), arguments.at)


def _handout(arguments):
    from tempkit.handout import hand_out, start

    command = arguments.command[1:] if arguments.command[:1] == ["--"] else arguments.command
    if command:
        start(arguments.book, arguments.folder, command)
    done = hand_out(arguments.book, arguments.folder)
    if done.left:
        raise ValueError(done.text())
    return f"{done.text() or 'nothing new'}\n"


def say(text, stream):
    """Write text to a stream, in plainer signs where the stream's encoding lacks one.

    >>> say("25.0 °C", sys.stdout)
    25.0 °C
    """
    encoding = getattr(stream, "encoding", None) or "utf-8"
    stream.write("".join(_writable(sign, encoding) for sign in text))


def _writable(sign, encoding):
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return PLAIN.get(sign, "?")
    return sign


def main(arguments=None):
    """Run one command and return the exit code: 0 fine, 2 where a file or an argument is not as it must be.

    >>> main(["describe", "data/chains/no-such-bench.toml"])
    2
    """
    chosen = parser().parse_args(arguments)
    try:
        say(chosen.run(chosen), sys.stdout)
    except ValueError as error:
        say(f"{error}\n", sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
