"""The command line: `python -m tempkit COMMAND`. A command is one function and one entry in `parser`."""

import argparse
import contextlib
import os
import sys

from tempkit import __version__
from tempkit.board.commands import add_to as add_board
from tempkit.files import told
from tempkit.homework.command import add_to as add_homework

PLAIN = {"°": "deg", "±": "+-", "Ω": "ohm", "−": "-", "µ": "u"}
PROGRAM = "python -m tempkit"
FINE, NOBODY_READS, WRONG, INTERRUPTED = 0, 1, 2, 130
EXAMPLES = {
    "": "describe data/chains/north-bench.toml",
    "board": "ports",
    "homework": "invent trial-class --students 12",
    "describe": "data/chains/north-bench.toml --scale degF",
    "budget": "data/chains/north-bench.toml --at 25",
    "handout": "/srv/book /home/robin/book",
    "bench": "data/chains/north-bench.toml --room-c 19.5 --out bench-card",
    "board ports": "",
    "board record": "--port PORT --out my-evening.log --seconds 3600",
    "board pretend": "data/chains/north-bench.toml --fast --seconds 600 --fault unplug@60 --out trial.log",
    "board code": "data/chains/north-bench.toml --language c --out board-code",
    "homework mark": "handed-in --roster roster.csv --out results --due h01=2026-12-04T18:00",
    "homework print": "--roster roster.csv --sheet h01 --out hand-outs",
    "homework project": "my-design.toml --course BENCH-9 --student ROBIN",
    "homework invent": "trial-class --students 12",
    "homework forget": "ROBIN handed-in results --course BENCH-9",
}


def parser():
    """The commands and what each may be given.

    >>> parser().parse_args(["describe", "bench.toml", "--scale", "degF"]).scale
    'degF'
    """
    top = argparse.ArgumentParser(prog=PROGRAM, description="From a temperature to a decision.")
    top.add_argument("--version", action="version", version=f"tempkit {__version__}")
    commands = top.add_subparsers(metavar="COMMAND", required=True)
    describe = commands.add_parser("describe", help="say in plain text what a chain file describes")
    describe.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    describe.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    describe.set_defaults(run=_describe)
    budget = commands.add_parser("budget", help="print the error budget of a chain file's reading")
    budget.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    at_help = "true temperature in the scale of the table, degC or degF (else the middle of the alarm window)"
    budget.add_argument("--at", metavar="T", type=float, help=at_help)
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
    for name, its in every(top):
        its.epilog = f"example: {its.prog} {EXAMPLES[name]}".rstrip()
    return top


def every(own):
    """A parser and all below it: pairs of what is typed after the program's name, and the parser.

    >>> [name for name, _ in every(parser())][:3]
    ['', 'describe', 'budget']
    """
    yield own.prog.removeprefix(PROGRAM).strip(), own
    for action in own._actions:
        if isinstance(action, argparse._SubParsersAction):
            for its in action.choices.values():
                yield from every(its)


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
    if stream is None:  # closed before we began
        return
    encoding = getattr(stream, "encoding", None) or "utf-8"
    try:
        stream.write("".join(_writable(sign, encoding) for sign in text))
        stream.flush()
    except OSError as error:
        error.filename = "the output"
        raise


def _writable(sign, encoding):
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return PLAIN.get(sign, "?")
    return sign


def main(arguments=None):
    """Run one command and return the exit code: 0 fine, 2 where a file or an argument is not as it must be, or the
    system refuses a file; 1 where nobody reads what is printed, 130 after Ctrl+C.

    >>> main(["describe", "data/chains/no-such-bench.toml"])
    2
    """
    try:
        return _run(arguments)
    except BrokenPipeError:
        return _without_output(NOBODY_READS)
    except OSError:  # not even what went wrong can be said
        return _without_output(WRONG)


def _run(arguments):
    try:
        chosen = parser().parse_args(arguments)
        say(chosen.run(chosen), sys.stdout)
        return FINE
    except BrokenPipeError:
        raise
    except KeyboardInterrupt:
        say("\nstopped by Ctrl+C\n", sys.stderr)
        return INTERRUPTED
    except (ValueError, OSError) as error:
        say(f"{told(error) if isinstance(error, OSError) else error}\n", sys.stderr)
        return _without_output(WRONG)


def _without_output(code):
    """The exit code; what waits for an output that takes nothing is thrown away, else Python tries again at its end."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, AttributeError):
            with contextlib.suppress(OSError, ValueError, AttributeError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    return code


if __name__ == "__main__":
    sys.exit(main())
