"""A page of the invented maker's catalogue as one sheet of paper, and the same page in a notebook."""

import html
from pathlib import Path

from tempkit.chain import HEADS, INVENTED, curve, specification, specification_text
from tempkit.draw.paper import fine_img, print_page
from tempkit.draw.pictures import BLUE, DPI, INK, ORANGE, PAPER, QUIET
from tempkit.files import told, write_whole

GRAPH, LEGS = (500, 270), (320, 170)  # width and height [px]
BODY_PX = 14
SHADE, OUTLINE = "#f6d5c0", {"facecolor": "#f2f2f2", "edgecolor": INK, "linewidth": 1.8}
KINDS = ("number", "number", "number", "unit", "conditions")
STYLE = """
.tempkit-page { font: 9pt/1.2 sans-serif; color: #000; background: #fff; max-width: 186mm; }
.tempkit-page .tempkit-title { font: bold 16pt/1.2 sans-serif; margin: 0; color: #000; }
.tempkit-page .tempkit-part { font: bold 10.5pt/1.2 sans-serif; margin: 2.2mm 0 0; color: #000;
  border-bottom: 1.2pt solid #000; }
.tempkit-page p { margin: 0.8mm 0; color: #000; }
.tempkit-page .tempkit-large, .tempkit-page .tempkit-two { display: flex; gap: 6mm; align-items: flex-start; }
.tempkit-page .tempkit-large { margin: 2mm 0 0; }
.tempkit-page .tempkit-large div { flex: 1; border-left: 3pt solid #000; padding-left: 2mm; }
.tempkit-page .tempkit-large strong { display: block; font-size: 18pt; line-height: 1.1; }
.tempkit-page .tempkit-graph { flex: 108 1 0; min-width: 0; }
.tempkit-page .tempkit-legs { flex: 72 1 0; min-width: 0; }
.tempkit-page table { border-collapse: collapse; width: 100%; margin: 0.8mm 0 0; table-layout: auto; color: #000; }
.tempkit-page table tr { background: #fff !important; }
.tempkit-page table th, .tempkit-page table td { border: none; border-bottom: 0.5pt solid #000; padding: 0.1mm 1mm;
  font-size: 9pt; line-height: 1.2; color: #000; vertical-align: top; white-space: normal;
  text-align: left !important; }
.tempkit-page table tbody th { font-weight: normal; }
.tempkit-page table td.number, .tempkit-page table th.number { text-align: right !important; white-space: nowrap; }
.tempkit-page table tr.group th { border-bottom-width: 1.2pt; padding-top: 1.2mm; }
.tempkit-page table tr.group strong { font-size: 10.5pt; margin-right: 2mm; }
.tempkit-page img { display: block; width: 100%; height: auto; }
.tempkit-page .tempkit-small { font-size: 9pt; line-height: 1.15; }
"""
IN_A_CHAPTER = 3  # level of its heading
ON_SCREEN = ".tempkit-page { padding: 5mm; border-radius: 4px; }\n"


def catalogue_page_html(spec):
    """A page of the catalogue as HTML for one sheet of A4: tables, graph, legs, and the notes in small type.

    Pictures stand inside it, with alt text; what instructors know of its trap is not on it.

    >>> from tempkit.chain import specification
    >>> catalogue_page_html(specification("board")).splitlines()[0]
    '<!DOCTYPE html>'
    """
    return print_page(f"{spec.title}. {INVENTED}", [_page(spec)], STYLE)


def write_page(spec, path):
    """Write a page of the catalogue to a new HTML file.

    Raises `ValueError` for one that exists, or that cannot be written.
    """
    page = catalogue_page_html(spec).encode()
    try:
        if Path(path).exists():
            raise ValueError(f"{path} exists and is left as it is: name another file")
        write_whole(path, page)
    except OSError as error:
        raise ValueError(told(error, path)) from None


class SpecificationPage:
    """A page of the catalogue, shown in a notebook as it is printed; as plain text where no HTML is read.

    >>> str(specification_page("board")).splitlines()[0]
    'BENCH BOARD, TEN-BIT CONVERTER'
    """

    def __init__(self, spec):
        self.spec = spec

    def words(self):
        """The page as plain text."""
        return specification_text(self.spec)

    def __repr__(self):
        return self.words()

    def _repr_html_(self):
        return f"<style>{STYLE}{ON_SCREEN}</style>{_page(self.spec, IN_A_CHAPTER)}"


def specification_page(name):
    """A page of the catalogue to show in a notebook: `SpecificationPage`; names as in `specification_names()`.

    Raises `ValueError` for a name that the catalogue does not have, and lists those it has.

    >>> specification_page("air-sensor").words().splitlines()[0]
    'AIR SENSOR, VOLTAGE OUTPUT'
    """
    return SpecificationPage(specification(name))


# ---- HTML


def _page(spec, level=1):
    """The page as HTML; its title is a heading of this level, what stands below it one of the next."""
    esc, its = html.escape, curve(spec)
    large = "".join(f"<div><strong>{esc(figure)}</strong>{esc(what)}</div>" for figure, what in spec.headline)
    notes = "".join(f"<p class='tempkit-small'>{n}. {esc(note)}</p>" for n, note in enumerate(spec.notes, 1))
    legs = "".join(
        f"<tr><td>{esc(number)}</td><td>{esc(name)}</td><td>{esc(what)}</td></tr>" for number, name, what in spec.legs
    )
    heads = "".join(f"<th scope='col'>{head}</th>" for head in ("leg", "name", "for"))

    def part(title):
        return f"<h{level + 1} class='tempkit-part'>{esc(title)}</h{level + 1}>"

    return "\n".join(
        [
            "<div class='tempkit-page'>",
            f"<h{level} class='tempkit-title'>{esc(spec.title)}</h{level}>",
            f"<p>{esc(spec.does)} <strong>{esc(INVENTED)}</strong></p>",
            f"<div class='tempkit-large'>{large}</div>",
            _table(spec),
            "<div class='tempkit-two'>",
            f"<div class='tempkit-graph'>{part(_graph_title(its))}{fine_img(graph(its), its.words())}"
            f"{part('Notes')}{notes}</div>",
            f"<div class='tempkit-legs'>{part('Legs')}{fine_img(legs_drawing(spec), legs_words(spec))}"
            f"<p class='tempkit-small'>seen {esc(spec.seen)}</p>"
            f"<table><thead><tr>{heads}</tr></thead><tbody>{legs}</tbody></table></div>",
            "</div>",
            "</div>",
        ]
    )


def _graph_title(its):
    return f"{its.y_axis[0]} over {its.x_axis[0]}, and its limits".capitalize()


def _table(spec):
    """All lines in one table, so that their columns stand below each other."""
    heads = "".join(f"<th scope='col' class='{kind}'>{name}</th>" for name, kind in zip(HEADS, KINDS, strict=True))
    groups = (
        ("Absolute limits", "", spec.absolute),
        ("Operating range", "", spec.operating),
        ("Typical and limit values", spec.conditions, spec.values),
    )
    body = "".join(_group(*each) for each in groups)
    return f"<table><thead><tr><td></td>{heads}</tr></thead>{body}</table>"


def _group(title, conditions, rows):
    esc = html.escape
    head = f"<tr class='group'><th scope='rowgroup' colspan='6'><strong>{title}</strong> {esc(conditions)}</th></tr>"
    lines = ""
    for name, *cells in (row.cells() for row in rows):
        tds = "".join(f"<td class='{kind}'>{esc(cell)}</td>" for cell, kind in zip(cells, KINDS, strict=True))
        lines += f"<tr><th scope='row'>{esc(name)}</th>{tds}</tr>"
    return f"<tbody>{head}{lines}</tbody>"


# ---- pictures


def _figure(size):
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(size[0] / DPI, size[1] / DPI), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def graph(its):
    """The figure of a `Curve`: the curve with its limit band above, and below how far off it may be.

    >>> len(graph(curve(specification("platinum"))).axes)
    2
    """
    figure, points = _figure(GRAPH), BODY_PX * 72 / DPI
    top, low = figure.subplots(2, 1, sharex=True, height_ratios=(5, 4))
    figure.subplots_adjust(left=0.15, right=0.96, top=0.97, bottom=0.2, hspace=0.12)
    top.fill_between(
        its.x, its.y - its.band, its.y + its.band, facecolor=SHADE, edgecolor=ORANGE, linewidth=1, label="limits"
    )
    top.plot(its.x, its.y, color=BLUE, linewidth=1.6, label=its.y_axis[0])
    if its.logarithmic:
        top.set_yscale("log")
        top.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    for name, values, style in (("limits", its.limit, "-"), ("typical", its.typical, "--")):
        low.plot(its.x, values, color=INK, linewidth=1.5, linestyle=style, label=name)
        low.plot(its.x, -values, color=INK, linewidth=1.5, linestyle=style)
    most = float(its.limit.max())
    low.set(ylim=(-1.2 * most, 2.4 * most), xlim=(its.x[0], its.x[-1]))
    low.set_xlabel(f"{its.x_axis[0]}, {its.x_axis[1]}", fontsize=points)
    for axes, (name, unit) in ((top, its.y_axis), (low, ("off by", its.off_axis[1]))):
        axes.set_ylabel(f"{name}, {unit}", fontsize=points)
        axes.tick_params(labelsize=points)
        axes.grid(color="#d9d9d9", linewidth=0.8)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
    falls = its.y[-1] < its.y[0]
    top.legend(loc="upper right" if falls else "upper left", fontsize=points, frameon=False)
    low.legend(loc="upper center", ncols=2, fontsize=points, frameon=False)
    figure.align_ylabels()
    return figure


def legs_drawing(spec):
    """The figure of a part's legs, with number and name at each.

    >>> len(legs_drawing(specification("board")).axes)
    1
    """
    figure = _figure(LEGS)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, LEGS[0]), ylim=(0, LEGS[1]))
    axes.axis("off")
    {"half-round": _half_round, "double-row": _double_row}.get(spec.body, _at_one_side)(axes, spec)
    return figure


def legs_words(spec):
    """The drawing of the legs in words: its alt text.

    >>> legs_words(specification("air-sensor"))
    'Drawing of the legs, seen from above. From left to right: 1 ground, 2 supply, 3 output.'
    """
    named = [f"{number} {name}" for number, name, _ in spec.legs]
    if spec.body == "double-row":
        left, right = _sides(spec)
        order = f"On the left from the top: {_listed(left)}. On the right from the top: {_listed(right)}"
    else:
        order = f"From {'left to right' if spec.body == 'half-round' else 'the top down'}: {', '.join(named)}"
    return f"Drawing of the legs, seen {spec.seen}. {order}."


def _listed(legs):
    return ", ".join(f"{number} {name}" for number, name, _ in legs)


def _sides(spec):
    """Legs on the left and on the right, from the top: seen from above they count down the left and up the right."""
    half = len(spec.legs) // 2
    first, second = spec.legs[:half], spec.legs[: -half - 1 : -1]
    return (second, first) if spec.seen == "from below" else (first, second)


def _text(axes, x, y, words, **style):
    axes.text(x, y, words, **{"fontsize": BODY_PX * 72 / DPI, "color": INK, "va": "center", **style})


def _half_round(axes, spec):
    from matplotlib.patches import Wedge

    x, y, radius = LEGS[0] / 2, 68, 98
    axes.add_patch(Wedge((x, y), radius, 0, 180, **OUTLINE))
    for i, (number, name, _) in enumerate(spec.legs):
        at = x + 64 * (i - (len(spec.legs) - 1) / 2)
        axes.plot([at], [y + 34], "o", ms=10, color=INK)
        axes.plot([at, at], [y + 24, y - 22], color=QUIET, linewidth=1, linestyle=":")
        _text(axes, at, y - 36, number, ha="center", fontweight="bold")
        _text(axes, at, y - 55, name, ha="center")


def _at_one_side(axes, spec):
    """A body on the left, its legs to the right, from the top down."""
    from matplotlib.patches import Circle, FancyBboxPatch

    middle, step = LEGS[1] / 2, min(34, (LEGS[1] - 20) / len(spec.legs))
    reach = step * (len(spec.legs) - 1) / 2
    if spec.body == "bead":
        axes.add_patch(Circle((70, middle), 34, **OUTLINE))
        start = 98
    else:
        tall = 2 * reach + 30
        corners = "round,pad=0,rounding_size=8"
        axes.add_patch(FancyBboxPatch((20, middle - tall / 2), 120, tall, boxstyle=corners, **OUTLINE))
        start = 140
    for i, (number, name, _) in enumerate(spec.legs):
        y = middle + reach - step * i
        axes.plot([start, 190], [y, y], color=INK, linewidth=3, solid_capstyle="butt")
        _text(axes, 200, y, number, fontweight="bold")
        _text(axes, 218, y, name)


def _double_row(axes, spec):
    from matplotlib.patches import FancyBboxPatch

    middle, step = LEGS[1] / 2, 42
    axes.add_patch(FancyBboxPatch((120, 20), 80, LEGS[1] - 40, boxstyle="round,pad=0,rounding_size=4", **OUTLINE))
    for legs, edge, out in zip(_sides(spec), (120, 200), (-1, 1), strict=True):
        for i, (number, name, _) in enumerate(legs):
            y = middle + step * ((len(legs) - 1) / 2 - i)
            axes.plot([edge, edge + 24 * out], [y, y], color=INK, linewidth=5, solid_capstyle="butt")
            _text(axes, edge - 14 * out, y, number, ha="center", fontweight="bold")
            _text(axes, edge + 32 * out, y, name, ha="right" if out < 0 else "left")
