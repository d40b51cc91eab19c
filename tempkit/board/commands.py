"""`python -m tempkit board ...`: the words of the command line, and what each does."""

import sys
from argparse import RawDescriptionHelpFormatter
from dataclasses import replace

from tempkit.ranges import keep, whole_number

LONGEST_S = 1e8  # three years
SHORTEST_S = 1e-3

EXAMPLES = {
    "board": "ports",
    "board ports": "",
    "board record": "--port PORT --out my-evening.log --seconds 3600",
    "board pretend": "data/chains/north-bench.toml --fast --seconds 600 --fault unplug@60 --out trial.log",
    "board code": "data/chains/north-bench.toml --language c --out board-code",
}


def add_to(commands):
    """Add `board` with its own commands to the parser's commands."""
    board = commands.add_parser("board", help="record a board, pretend to be one, or write its code")
    own = board.add_subparsers(metavar="WHAT", required=True)
    _add_ports(own)
    _add_record(own)
    _add_pretend(own)
    _add_code(own)


def _add_ports(own):
    own.add_parser("ports", help="list the serial ports of this computer").set_defaults(run=_ports)


def _add_record(own):
    record = own.add_parser("record", help="write every line of a board to a file, as it comes")
    record.add_argument("--port", required=True, help="as `board ports` prints it, or a URL: socket://127.0.0.1:5000")
    record.add_argument("--out", required=True, metavar="FILE", help="the file; one that exists is never overwritten")
    record.add_argument("--append", action="store_true", help="go on in a file that exists")
    record.add_argument("--baud", type=int, default=9600, help="bits a second (9600)")
    record.add_argument("--frame", default="8N1", help="data bits, parity, stop bits (8N1)")
    record.add_argument("--seconds", type=float, help="stop after so many seconds (else with Ctrl+C)")
    record.set_defaults(run=_record)


def _add_pretend(own):
    from tempkit.board.requests import SCENE_NAMES, STYLES, explained

    about = f"Faults, written KIND[=VALUE][@START][+LENGTH] with times in seconds:\n{explained()}"
    form = {"description": about, "formatter_class": RawDescriptionHelpFormatter}
    pretend = own.add_parser("pretend", help="be a board: a design that speaks, with faults on request", **form)
    pretend.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    wire = pretend.add_mutually_exclusive_group()
    wire.add_argument(
        "--tcp", type=int, metavar="PORT", help="a TCP port of this computer, 0 for any (this, by default)"
    )
    wire.add_argument("--pty", action="store_true", help="a pseudo-terminal (Linux, macOS)")
    wire.add_argument("--fast", action="store_true", help="wait for nothing: write the log to --out")
    pretend.add_argument("--out", metavar="FILE", help="with --fast: the file to write")
    pretend.add_argument("--join", type=float, default=0.0, metavar="S", help="with --fast: the recorder begins then")
    pretend.add_argument("--seconds", type=float, help="end after so many seconds (with --fast: 3600)")
    pretend.add_argument("--seed", type=int, default=1, help="of the noise (1)")
    pretend.add_argument("--scene", choices=SCENE_NAMES, default="lively", help="what the air does (lively)")
    pretend.add_argument("--style", choices=STYLES, default="fields", help="how a line looks (fields)")
    pretend.add_argument(
        "--wait", type=float, metavar="S", help="wait after each line (else the alarm's sample period)"
    )
    pretend.add_argument("--baud", type=int, help="bits a second (else the design's)")
    pretend.add_argument("--fault", action="append", default=[], metavar="F", help="see above; can be given again")
    pretend.add_argument("--end-with-input", action="store_true", help="end when the standard input ends")
    pretend.set_defaults(run=_pretend)


def _add_code(own):
    code = own.add_parser("code", help="write the design as source code for a board, in whole numbers")
    code.add_argument("file", metavar="FILE", help="chain file with an [alarm], NAME.toml")
    code.add_argument("--language", required=True, choices=("c", "micropython"), help="C99, or MicroPython")
    code.add_argument("--out", required=True, metavar="DIR", help="folder; what somebody has changed there is kept")
    code.add_argument("--table-error", type=float, default=0.02, metavar="T", help="of a sensor's table, degC (0.02)")
    code.add_argument("--stuck", type=int, default=0, metavar="N", help="so many equal readings are invalid (0: never)")
    code.add_argument("--invalid-delay", type=int, default=1, metavar="N", help="invalid readings that call (1)")
    code.set_defaults(run=_code)


def _ports(_):
    from tempkit.board.recorder import ports_here

    return ports_here()


def _record(chosen):
    from tempkit.board.recorder import record

    return record(chosen.port, chosen.out, chosen.baud, chosen.frame, chosen.append, _time_s(chosen, "seconds"))


def _time_s(chosen, name, low=SHORTEST_S):
    """A time that was given [s], None where it was not; `ValueError` for `nan`, and for one that cannot be."""
    value = getattr(chosen, name)
    return value if value is None else keep(value, low, LONGEST_S, name=f"--{name}", unit="s", advice="give seconds")


def _board(chosen):
    from tempkit.board.requests import SCENES, fault
    from tempkit.board.stream import Board
    from tempkit.chain import Link, read

    design = read(chosen.file)
    if chosen.baud is not None:
        design = replace(design, link=replace(design.link or Link(), baud=chosen.baud))
    faults = tuple(fault(text) for text in chosen.fault)
    whole_number(chosen.seed, 0, name="--seed", unit="", advice="any such number")
    return Board(design, SCENES[chosen.scene], chosen.seed, faults, chosen.style, _time_s(chosen, "wait", 0.0))


def _pretend(chosen):
    board = _board(chosen)
    if chosen.fast:
        return _fast(board, chosen)
    if chosen.out:
        raise ValueError("--out is for --fast: to record a live board, run `board record` beside this one")
    return _live(board, chosen)


def _fast(board, chosen):
    from tempkit.board.write_log import log, write

    if not chosen.out:
        raise ValueError("--fast needs --out FILE: say where the log goes")
    seconds, join_s = _time_s(chosen, "seconds"), _time_s(chosen, "join", 0.0)
    write(chosen.out, log(board, 3600.0 if seconds is None else seconds, _about(board), join_s))
    return f"{chosen.out}: written\n"


def _about(board):
    """The head of an invented log: that it is invented, and what a real recorder would say."""
    link = board.design.link
    yield "invented: made by the pretend board of tempkit, no such bench was measured"
    yield "tempkit record 1: seconds since the start, a tab, the line as it was received"
    yield "start 2026-03-14T18:00:00.000+00:00"
    if link:
        yield f"port pretend board, {link.baud} bit/s, {link.frame}"


def _live(board, chosen):
    from tempkit.board.pretend import Pacer, PtyWire, TcpWire, end_with_parent
    from tempkit.board.recorder import interrupts
    from tempkit.chain import Link

    seconds = _time_s(chosen, "seconds")
    port = whole_number(chosen.tcp or 0, 0, 65_535, name="--tcp", unit="port", advice="0 takes any that is free")
    wire = PtyWire() if chosen.pty else TcpWire(port)
    link = board.design.link or Link()
    try:
        with interrupts() as stop:
            if chosen.end_with_input:
                end_with_parent(wire.close)
            print(f"pretend board at {wire.port} ({link.baud} bit/s, {link.frame}); its readings are invented")
            print("end it with Ctrl+C", flush=True)
            Pacer(board, wire, stop).run(float("inf") if seconds is None else seconds)
    finally:
        wire.close()
    sys.stdout.flush()
    return "the pretend board has ended\n"


def _code(chosen):
    from tempkit.board.write_code import write
    from tempkit.chain import read

    choices = {"stuck_readings": chosen.stuck, "invalid_delay": chosen.invalid_delay}
    design = read(chosen.file)
    paths = write(design, chosen.language, chosen.out, table_error_c=chosen.table_error, **choices)
    return "".join(f"{path}: written\n" for path in paths)
