"""`python -m tempkit bench`."""

from pathlib import Path

EXAMPLES = {
    "bench": "data/chains/north-bench.toml --room-c 19.5 --out bench-card",
}


def add_to(commands):
    """Add `bench` to the program's commands."""
    bench = commands.add_parser("bench", help="print the bench card of a chain file, for the table beside the bench")
    bench.add_argument("file", metavar="FILE", help="chain file, NAME.toml")
    bench.add_argument("--room-c", metavar="T", type=float, default=21.0, help="today's room in degC (else 21)")
    bench.add_argument("--out", metavar="DIR", help="folder that gets the card as text and as a page to print")
    bench.add_argument("--scale", choices=("degC", "degF"), help="temperature scale (else the book's)")
    bench.set_defaults(run=_bench)


def _bench(arguments):
    from tempkit import book
    from tempkit.chain import read
    from tempkit.faults.card import bench_card, card_text

    chosen = book.Book(arguments.scale or book.current().scale)
    design = read(arguments.file)
    card = bench_card(design, arguments.room_c, chosen)
    if arguments.out is None:
        return card_text(card)
    from tempkit.faults.card_page import write

    written = write(card, design, arguments.out, Path(arguments.file).stem)
    return card_text(card) + "".join(f"\nWritten: {path}" for path in written) + "\n"
