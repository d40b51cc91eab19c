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
        "asking": "cheapest listed wrong_step",
        "catalogue": "for_all lines personally Posed problem problems",
        "checking": "cell_labels check picked quantity_text Verdict",
        "completing": "lands",
        "course": "Course Dates datetime read_course END_OF_DAY LATE WORTH",
        "design_task": "mark_design project_text project_told requirement_of",
        "figures": (
            "cells columns factor_of factors figures_digest offered other_figures personal personal_then target "
            "tolerances usable_sets"
        ),
        "graphs": "Curve Graph Scale",
        "kinds": "Choice code Column Draw Line Number Option plain Problem Sketch sketch Table Wrong",
        "predicting": "Amount Idea prediction Prediction predictions LETTERS",
        "reading": "convert family_of find read FAMILIES",
        "sheet_box": "sheet",
        "sheets": "sheet_plan typed SHEETS",
        "showing": "listing_html picture_html shown_table table_html",
        "unwritten": "blank NothingWrittenError",
    },
)
