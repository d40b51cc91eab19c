"""`python -m tempkit budget`."""

EXAMPLES = {
    "budget": "data/chains/north-bench.toml --at 25",
}


def add_to(commands):
    """Add `budget` to the program's commands."""
    budget = commands.add_parser("budget", help="print the error budget of a chain file's reading")
    budget.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    at_help = "true temperature in the scale of the table, degC or degF (else the middle of the alarm window)"
    budget.add_argument("--at", metavar="T", type=float, help=at_help)
    budget.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    budget.set_defaults(run=_budget)


def _budget(arguments):
    from tempkit import book
    from tempkit.chain import read
    from tempkit.uncertainty.table import budget_table

    scale = arguments.scale or book.current().scale
    return budget_table(read(arguments.file), book.Book(scale), arguments.at)
