"""`python -m tempkit catalogue`."""

EXAMPLES = {
    "catalogue": "air-sensor --html air-sensor.html",
}


def add_to(commands):
    """Add `catalogue` to the program's commands."""
    catalogue = commands.add_parser("catalogue", help="print a specification page of the invented maker's catalogue")
    catalogue.add_argument("name", metavar="NAME", nargs="?", help="the page (else a list of all)")
    catalogue.add_argument("--html", metavar="FILE", help="new file that gets the page to print, one sheet of A4")
    catalogue.set_defaults(run=_catalogue)


def _catalogue(arguments):
    from tempkit.chain import specification, specification_names, specification_text

    if arguments.name is None:
        if arguments.html:
            raise ValueError(f"--html {arguments.html}: which page? Name one of {', '.join(specification_names())}")
        rows = ((name, specification(name).title) for name in specification_names())
        return "".join(f"{name:<24}{title}\n" for name, title in rows)
    spec = specification(arguments.name)
    if arguments.html is None:
        return specification_text(spec)
    from tempkit.draw.catalogue_page import write_page

    write_page(spec, arguments.html)
    return f"{specification_text(spec)}\nWritten: {arguments.html}\n"
