"""The look of the book: pictures that move, number lines, circuits, and the boxes they stand in."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "boxes": "Keys Shown size_all",
        "catalogue_page": "catalogue_page_html specification_page SpecificationPage",
        "chart": "Area Axis Bars Chart Charts Fact Facts Labels Levels Line Markers Named Panel Ring Segment Stroke "
        "CURVE DASHES DOTS EDGE HATCHED LIMIT ON_PAPER READING SENSOR SHADED TINTED TRUTH",
        "circuits": "circuit_diagram diagram words",
        "landing": "curve_picture DrawnCurve FlatLook Landed LowLook RailPicture",
        "paper": "fine_img print_page",
        "pictures": "img Look Picture BLUE DPI GREEN INK ORANGE PAPER PINK QUIET",
        "rails": "Rails",
    },
)
