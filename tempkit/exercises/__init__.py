"""Ask and check: problems with personal figures, answers read, wrong ways recognised, every answer kept."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "answers": (
            "Answer encode now read_bytes read_record Record RecordError safe_code text_of CODE FOLDER "
            "MOST_ANSWERS OLD SHEET WHO"
        ),
        "cards": "practice text_html STYLE",
        "catalogue": "for_all personally Posed problem problems",
        "checking": "cell_labels check picked quantity_text Verdict",
        "asking": "cheapest listed wrong_step",
        "course": "Course Dates datetime read_course END_OF_DAY LATE WORTH",
        "design_task": "mark_design project_text project_told",
        "figures": (
            "cells columns factor_of factors figures_digest offered other_figures personal personal_then target "
            "tolerances usable_sets"
        ),
        "graphs": "Curve Graph Scale",
        "kinds": "Choice code Column Draw Number Option plain Problem Table Wrong",
        "reading": "convert family_of find read FAMILIES",
        "sheet_box": "sheet",
        "sheets": "sheet_plan typed SHEETS",
        "showing": "lines_html picture_html shown_table table_html",
    },
)
