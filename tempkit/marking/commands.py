"""The command line of homework: `python -m tempkit homework mark | print | invent | forget`."""

import sys
from dataclasses import dataclass
from datetime import datetime

EXAMPLES = {
    "homework": "invent trial-class --students 12",
    "homework mark": "handed-in --roster roster.csv --out results --due h01=2026-12-04T18:00",
    "homework print": "--roster roster.csv --sheet h01 --out hand-outs",
    "homework project": "my-design.toml --course BENCH-9 --student ROBIN",
    "homework invent": "trial-class --students 12",
    "homework forget": "ROBIN handed-in results --course BENCH-9",
}


def add_to(commands):
    """Add `homework` and its own commands to the commands of the program."""
    homework = commands.add_parser("homework", help="mark what a class handed in; print hand-outs; invent a class")
    inner = homework.add_subparsers(metavar="COMMAND", required=True)
    _add_mark(inner)
    _add_print(inner)
    _add_project(inner)
    invent = inner.add_parser("invent", help="make an invented class to try things out")
    invent.add_argument("folder", metavar="FOLDER", help="new folder to make it in")
    invent.add_argument("--students", type=int, default=30, metavar="N", help="how many students (default 30)")
    invent.add_argument("--seed", type=int, default=1, metavar="N", help="the same seed makes the same class")
    invent.add_argument("--sheet", action="append", metavar="SHEET", help="sheet, again for more (default h01)")
    invent.set_defaults(run=_invent)
    forget = inner.add_parser("forget", help="delete what one student handed in, and the page made from it")
    forget.add_argument("student", metavar="STUDENT", help="student code")
    forget.add_argument("folders", metavar="FOLDER", nargs="+", help="folders of hand-ins and of results")
    forget.add_argument("--course", metavar="CODE", help="only in this course")
    forget.add_argument("--yes", action="store_true", help="do not ask")
    forget.set_defaults(run=_forget)


def _add_mark(inner):
    mark = inner.add_parser("mark", help="mark a folder of answer records")
    mark.add_argument("folder", metavar="FOLDER", help="folder with what was handed in")
    mark.add_argument("--roster", required=True, metavar="FILE.csv", help="class list: student, name, course")
    mark.add_argument("--out", required=True, metavar="DIR", help="folder for marks, pages and the class report")
    mark.add_argument("--course", metavar="FILE.toml", help="course file: code, time zone, dates")
    mark.add_argument("--sheet", action="append", metavar="SHEET", help="only this sheet, again for more")
    mark.add_argument("--override", metavar="FILE.csv", help="marks set by hand: student, sheet, problem, mark, reason")
    mark.add_argument("--late", choices=("full", "half", "none"), help="what a late answer is worth; wants a due date")
    due = "for instance h01=2026-12-04T18:00; a date alone is the end of that day"
    mark.add_argument("--due", action="append", metavar="SHEET=TIME", help=due)
    mark.add_argument("--zone", metavar="ZONE", help="time zone of the dates: UTC, Europe/Paris, +01:00")
    mark.add_argument("--names", action="store_true", default=True, help="class report with names (as it is without)")
    mark.add_argument("--no-names", dest="names", action="store_false", help="class report that names nobody")
    semicolon = "tables with semicolons and decimal commas, as spreadsheets of many countries read them"
    mark.add_argument("--semicolon", action="store_true", help=semicolon)
    homes = "FOLDER holds copied homes of the class server, each named by a student code"
    mark.add_argument("--homes", action="store_true", help=homes)
    mark.set_defaults(run=_mark)


def _add_print(inner):
    out = inner.add_parser("print", help="hand-outs to print, with everyone's own figures, and the key")
    out.add_argument("--roster", required=True, metavar="FILE.csv", help="class list: student, name, course")
    out.add_argument("--sheet", required=True, metavar="SHEET", help="sheet to print, for instance h01")
    out.add_argument("--out", required=True, metavar="DIR", help="folder for the two pages")
    out.add_argument("--course", metavar="FILE.toml", help="course file: code, time zone, dates")
    out.set_defaults(run=_print)


def _add_project(inner):
    project = inner.add_parser("project", help="a student's requirement for the design project; mark a chain file")
    project.add_argument("file", metavar="FILE", nargs="?", help="chain file to mark (else only the requirement)")
    project.add_argument("--course", required=True, metavar="CODE", help="course code")
    project.add_argument("--student", required=True, metavar="CODE", help="student code")
    project.set_defaults(run=_project)


def settings(arguments):
    """The course settings of the command line: the course file, with what was given beside it put in its place."""
    import msgspec

    from tempkit.exercises import END_OF_DAY, Course, Dates, read_course, sheet_plan

    found = read_course(arguments.course) if arguments.course else Course()
    sheets = dict(found.sheets)
    for given in arguments.due or ():
        name, _, text = given.partition("=")
        try:
            due = datetime.fromisoformat(text)
        except ValueError:
            raise ValueError(f"--due {given!r}: write the sheet and a time, like h01=2026-12-04T18:00") from None
        if due.tzinfo:
            raise ValueError(f"--due {given!r}: write the local time, and the zone with --zone")
        due = due if len(text) > len("2026-12-04") else datetime.combine(due, END_OF_DAY)
        plan = sheet_plan(name)
        sheets[plan.id] = msgspec.structs.replace(sheets.get(plan.id, Dates()), due=due)
    given = {"late": arguments.late, "zone": arguments.zone}
    asked = [sheet_plan(name).id for name in arguments.sheet or sheets]
    if arguments.late and not any(sheets.get(name, Dates()).due for name in asked):
        which = " or ".join(arguments.sheet or ["any sheet"])
        raise ValueError(f"--late {arguments.late}: no due date for {which}: give one, like --due h01=2026-12-04")
    return msgspec.structs.replace(found, sheets=sheets, **{k: v for k, v in given.items() if v})


def _mark(arguments):
    from tempkit.marking.desk import mark_folder

    return mark_folder(
        arguments.folder,
        arguments.roster,
        arguments.out,
        course=settings(arguments),
        sheets=arguments.sheet,
        override=arguments.override,
        names=arguments.names,
        tell=Progress,
        semicolon=arguments.semicolon,
        homes=arguments.homes,
    ).words()


def _print(arguments):
    from tempkit.exercises import Course, read_course
    from tempkit.marking.on_paper import write_handouts

    course = read_course(arguments.course) if arguments.course else Course()
    return write_handouts(arguments.sheet, arguments.roster, arguments.out, course)


def _project(arguments):
    from tempkit import book
    from tempkit.chain import read
    from tempkit.exercises import project_text

    design = read(arguments.file) if arguments.file else None
    return project_text(arguments.course, arguments.student, design, book.current())


def _invent(arguments):
    from tempkit.marking.invented import invent

    return invent(arguments.folder, arguments.students, arguments.seed, tuple(arguments.sheet or ("h01",)))


def _forget(arguments):
    from tempkit.marking.forgetting import delete, found_of, still_holding
    from tempkit.marking.handed_in import printable

    found = found_of(arguments.student, arguments.folders, arguments.course)
    listed = "".join(f"{item}\n" for item in found)
    if found and not arguments.yes and not _agreed(listed):
        return "Nothing was deleted.\n"
    delete(found)
    told = f"Deleted or cleared of this student:\n{listed}" if found else "Nothing of this student was found.\n"
    holding = "".join(f"{printable(str(path))}\n" for path in still_holding(arguments.student, arguments.folders))
    if not holding:
        return told
    return (
        f"{told}These still name the student:\n{holding}Take the student off the class list, then mark the class"
        " again for a new report and new tables, and print hand-outs again; delete by hand what is left.\n"
    )


def _agreed(listed):
    sys.stderr.write(f"{listed}Delete these for good? Type yes: ")
    return sys.stdin.readline().strip().lower() == "yes"


@dataclass
class Progress:
    """A line of progress for something counted, on a stream; it moves on a terminal and stands still in a file."""

    what: str
    stream: object = None

    def __call__(self, done, of):
        stream = self.stream or sys.stderr
        moving = stream.isatty()
        if done % max(1, of // (200 if moving else 4)) == 0 or done == of:
            stream.write(
                f"{chr(13) if moving else ''}{self.what}: {done} of {of}{'' if moving and done < of else chr(10)}"
            )
            stream.flush()
