"""The command line: `python -m tempkit COMMAND`. Each room brings its own commands, in its `commands.py`."""

import argparse
import contextlib
import os
import sys
from importlib import import_module, util

from tempkit import ROOMS, __version__
from tempkit.files import told

PLAIN = {"°": "deg", "±": "+-", "Ω": "ohm", "−": "-", "µ": "u"}
PROGRAM = "python -m tempkit"
FINE, NOBODY_READS, WRONG, INTERRUPTED = 0, 1, 2, 130


def parser():
    """The commands and what each may be given.

    >>> parser().parse_args(["describe", "bench.toml", "--scale", "degF"]).scale
    'degF'
    """
    top = argparse.ArgumentParser(prog=PROGRAM, description="From a temperature to a decision.")
    top.add_argument("--version", action="version", version=f"tempkit {__version__}")
    commands = top.add_subparsers(metavar="COMMAND", required=True)
    examples = {"": "describe data/chains/north-bench.toml"}
    for room in reversed(ROOMS):
        if util.find_spec(f"tempkit.{room}.commands"):
            its = import_module(f"tempkit.{room}.commands")
            its.add_to(commands)
            examples |= its.EXAMPLES
    for name, its in every(top):
        its.epilog = f"example: {its.prog} {examples[name]}".rstrip()
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
