"""How words and numbers stand on the page beside a picture: the rules of style, a paragraph, a table."""

import html

STYLE = """<style>
.tempkit-words { color: var(--jp-ui-font-color1, #1a1a1a); font-size: 15px; line-height: 1.5; max-width: 60em; }
.tempkit-words td, .tempkit-words th { text-align: left; padding: 2px 1.2em 2px 0; }
.tempkit-words th { font-weight: normal; }
.tempkit-explorer .widget-dropdown .widget-label { width: 12.5em; text-align: left; font-size: 14px; }
.tempkit-heard { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
.tempkit-explorer .widget-button, .tempkit-explorer .widget-toggle-button { width: auto; min-width: 9em;
  color: var(--jp-ui-font-color1, #1a1a1a); background: var(--jp-layout-color2, #eee);
  border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-explorer.tempkit-room .widget-dropdown .widget-label { width: 8.4em; white-space: normal; }
.tempkit-room.tempkit-room .tempkit-words code { font-size: 1.05em !important; }
.tempkit-room.tempkit-room .widget-dropdown, .tempkit-room.tempkit-room .widget-text { width: auto; height: auto;
  min-height: 46px; max-width: 100%; }
.tempkit-room.tempkit-room .tempkit-words, .tempkit-room.tempkit-room .widget-label.widget-label,
.tempkit-room.tempkit-room select, .tempkit-room.tempkit-room button,
.tempkit-room.tempkit-room input { font-size: 31px; line-height: 1.35; height: auto; }
</style>"""


def paragraph(words):
    """Words as HTML in the book's style.

    >>> paragraph("18 < 27")
    '<div class="tempkit-words">18 &lt; 27</div>'
    """
    return f'<div class="tempkit-words">{html.escape(words)}</div>'


def heard(words, look="tempkit-words"):
    """Words that a screen reader hears as they change.

    >>> heard("Saved.")
    '<div class="tempkit-words" role="status">Saved.</div>'
    """
    return paragraph(words).replace('class="tempkit-words"', f'class="{look}" role="status"', 1)


def number_table(title, rows):
    """Rows (name, value) of text as an HTML table with its title.

    >>> number_table("Bench", [("code", "153")])[58:]
    '<tr><th scope="row">code</th><td>153</td></tr></table></div>'
    """
    cells = "".join(
        f'<tr><th scope="row">{html.escape(name)}</th><td>{html.escape(value)}</td></tr>' for name, value in rows
    )
    return f'<div class="tempkit-words"><table><caption>{html.escape(title)}</caption>{cells}</table></div>'
