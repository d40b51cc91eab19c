"""A log as blocks of whole lines, a sample of them, and the count of lines that are no rows."""

from dataclasses import dataclass, field

from tempkit.loglines import LONGEST, decoded

BLOCK = 2**18
SAMPLE_LINES, RUN = 2000, 100
REASONS = {
    "wrong bytes": "holds bytes that are no text",
    "no number": "holds no number: a banner or a message",
    "other form": "has not the form of this log's lines",
    "other decimals": "holds a number with other decimals than all others, as half a line does",
    "broken number": "holds what is no number",
    "impossible time": "holds a date or time of day that does not exist",
    "too long": f"is longer than {LONGEST} bytes",
    "no line end": "ends with the file, so it may be cut short",
}


@dataclass(eq=False)
class Tally:
    """Lines of one kind: how many, the first `kept` line numbers, and what the first one said."""

    kept: int
    count: int = 0
    lines: list = field(default_factory=list)
    example: str = ""

    def add(self, line_number, line):
        """Count one line."""
        if not self.count:
            self.example = decoded(line[:80])
        self.count += 1
        if len(self.lines) < self.kept:
            self.lines.append(line_number)


def blocks(stream, size=BLOCK):
    """Whole lines of a stream of bytes as (bytes, finished), each line ending in a line feed whatever it ended in.

    CR LF, CR and LF end a line. finished is False for a last line without its end. A line without end is kept to
    little more than the longest a log may have.

    >>> import io
    >>> list(blocks(io.BytesIO(b"1\\r\\n2\\r3\\n4")))
    [(b'1\\n2\\n3\\n', True), (b'4\\n', False)]
    """
    rest = b""
    while chunk := stream.read(size):
        data = rest + (chunk.encode() if isinstance(chunk, str) else chunk)
        late = b"\r" if data.endswith(b"\r") else b""  # its line feed may come with the next block
        if b"\r" in data:
            data = data[: len(data) - len(late)].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        cut = data.rfind(b"\n") + 1
        if cut:
            yield data[:cut], True
        rest = data[cut:]
        if len(rest) > 2 * LONGEST:
            rest = rest[: 2 * LONGEST]
        rest += late
    if rest:
        yield rest.removesuffix(b"\r") + b"\n", rest.endswith(b"\r")


def sample(data):
    """Some two thousand lines of bytes: the first ones, and runs of neighbours from all over.

    >>> len(sample(b"25.1\\n" * 100_000)), sample(b"1\\n2\\n")
    (2000, [b'1', b'2'])
    """
    if data.count(b"\n") <= SAMPLE_LINES:
        return data.split(b"\n")[:-1]
    lines = []
    for nth in range(SAMPLE_LINES // RUN):
        start = data.find(b"\n", nth * len(data) // (SAMPLE_LINES // RUN)) + 1 if nth else 0
        lines += data[start : start + 64 * RUN].split(b"\n")[:-1][:RUN]
    return lines
