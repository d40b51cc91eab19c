"""`blank`: what stands where a reader has not written yet. It lets a notebook run through, and is no number."""

NOTHING = "nothing is written here yet: put your number in place of `blank`"
SIGN = "write here"


class NothingWrittenError(ValueError):
    """A number is needed where `blank` still stands; a notebook shows it as one line.

    >>> float(blank)
    Traceback (most recent call last):
        ...
    tempkit.exercises.unwritten.NothingWrittenError: nothing is written here yet: put your number in place of `blank`
    """

    def __init__(self, *_):
        super().__init__(NOTHING)

    def _render_traceback_(self):
        """What a notebook shows in place of a traceback."""
        return [NOTHING]


def _refuse(*_, **__):
    raise NothingWrittenError


def _again(*_, **__):
    """What comes of an operation with `blank`: `blank`."""
    return blank


class Blank:
    """The kind of `blank`, of which there is one only.

    It prints as *write here* in any format. Arithmetic, comparison, rounding and indexing give `blank` again; it
    counts as false, is in nothing and holds nothing. Where a real number is needed (`float`, `int`, a length, a loop,
    numpy's functions, the book's own) it raises `NothingWrittenError`.

    >>> blank, 2 * blank + 1, blank < 27, round(blank, 1), f"{blank:.2f} V", bool(blank), blank == blank
    (write here, write here, write here, write here, 'write here V', False, write here)
    """

    __slots__ = ()

    def __repr__(self):
        return SIGN

    def __format__(self, spec):
        return SIGN

    def __bool__(self):
        return False

    def __contains__(self, item):
        return False

    def __hash__(self):
        return hash(Blank)

    def __reduce__(self):
        return "blank"

    def __divmod__(self, other):
        return blank, blank

    __rdivmod__ = __divmod__

    def __array_ufunc__(self, ufunc, method, *inputs, **options):
        """Arithmetic and comparison of numpy's numbers give `blank`; its functions need a number."""
        if method == "__call__" and ufunc.__name__ in UFUNCS:
            return blank
        raise NothingWrittenError


OPERATORS = "add sub mul truediv floordiv mod pow matmul lshift rshift and or xor".split()
UFUNCS = frozenset(
    "add subtract multiply divide true_divide floor_divide remainder power negative positive absolute matmul"
    " less less_equal greater greater_equal equal not_equal".split()
)
for _name in (*OPERATORS, *(f"r{name}" for name in OPERATORS), *"lt le gt ge eq ne".split()):
    setattr(Blank, f"__{_name}__", _again)
for _name in "neg pos abs invert round floor ceil trunc getitem".split():
    setattr(Blank, f"__{_name}__", _again)
for _name in "float int complex index len iter array setitem".split():
    setattr(Blank, f"__{_name}__", _refuse)

blank = Blank()
