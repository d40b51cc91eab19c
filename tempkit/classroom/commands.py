"""`python -m tempkit handout`."""

import argparse

EXAMPLES = {
    "handout": "/srv/book /home/robin/book",
}


def add_to(commands):
    """Add `handout` to the program's commands."""
    handout = commands.add_parser("handout", help="bring the book's files into a student's folder, and start a server")
    handout.add_argument("book", metavar="BOOK", help="folder of the book, the one with README.md")
    handout.add_argument("folder", metavar="FOLDER", help="the student's folder; their own work there stays")
    handout.add_argument("command", metavar="COMMAND", nargs=argparse.REMAINDER, help="after --: what to start then")
    handout.set_defaults(run=_handout)


def _handout(arguments):
    from tempkit.classroom.handing_out import hand_out, start

    command = arguments.command[1:] if arguments.command[:1] == ["--"] else arguments.command
    if command:
        start(arguments.book, arguments.folder, command)
    done = hand_out(arguments.book, arguments.folder)
    if done.left:
        raise ValueError(done.text())
    return f"{done.text() or 'nothing new'}\n"
