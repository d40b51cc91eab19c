"""`python -m tempkit describe`."""

EXAMPLES = {
    "describe": "data/chains/north-bench.toml --scale degF",
}


def add_to(commands):
    """Add `describe` to the program's commands."""
    describe = commands.add_parser("describe", help="say in plain text what a chain file describes")
    describe.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    describe.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    describe.set_defaults(run=_describe)


def _describe(arguments):
    from tempkit import book
    from tempkit.chain.file import read
    from tempkit.chain.words import describe

    scale = arguments.scale or book.current().scale
    return describe(read(arguments.file), book.Book(scale))
