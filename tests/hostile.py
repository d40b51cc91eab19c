"""Hand-ins as nobody should make them: one of every kind, and by the thousand.

`KINDS` maps a name to a function that puts something into a folder, and to what the marker must say about it; None
where the hand-in is readable and only its text is hostile.
"""

import json
import os
import pickle
import random
import socket
import zipfile

from classroom import PLAN, answered, posed
from tempkit.exercises import answers as records

HONEST = records.encode(answered("1 °C", posed().model_answer()))
CANARY = "import pathlib; pathlib.Path('CANARY').write_text('run')"


def whole(**changes):
    """The bytes of a record with entries changed, before any check."""
    return json.dumps(json.loads(HONEST) | changes).encode()


def answer(**changes):
    """The bytes of a record whose first answer has entries changed."""
    answers = json.loads(HONEST)["answers"]
    return whole(answers=[answers[0] | changes, *answers[1:]])


def typed(text):
    """A record as the notebook would write it for this text."""
    return records.encode(answered(text))


def put(data, name="hostile.json"):
    """A kind that is one file."""
    return lambda folder: (folder / name).write_bytes(data)


def _huge(folder):
    with (folder / "huge.json").open("wb") as file:
        file.write(HONEST[:-2])
        file.truncate(200_000_000)


def _zip(folder):
    with zipfile.ZipFile(folder / "zip.json", "w") as archive:
        archive.writestr("../../escaped.json", HONEST)


def _deep(folder):
    for _ in range(12):
        folder = folder / "deeper"
        folder.mkdir()
    (folder / "record.json").write_bytes(HONEST)


def _socket(folder):
    if len(os.fsencode(folder)) < 80:
        with socket.socket(socket.AF_UNIX) as end:
            end.bind(str(folder / "socket.json"))
    else:
        os.mkfifo(folder / "socket.json")


def _bytes_name(folder):
    with open(os.fsencode(folder) + b"/caf\xe9.json", "wb") as file:  # noqa: PTH123
        file.write(HONEST[:50])


RUN = pickle.dumps(("os.system", CANARY))
DEEP = 200_000
KINDS = {
    "empty": (put(b""), "empty file"),
    "only blanks": (put(b" \n\t" * 100), "empty file"),
    "zero bytes": (put(b"\x00" * 4096), "not JSON"),
    "cut off": (put(HONEST[:-30]), "cut off"),
    "cut to one sign": (put(b"{"), "cut off"),
    "something behind": (put(HONEST + HONEST), "trailing"),
    "plain words": (put(b"my answers: 1, 2, 3"), "not "),
    "a web page": (put(b"<html><script>alert(1)</script></html>"), "not JSON"),
    "nested arrays": (put(b"[" * DEEP + b"]" * DEEP), "not an answer record"),
    "nested objects": (put(b'{"answers":' * (DEEP // 2)), "not an answer record"),
    "nested in an answer": (put(answer(text="@").replace(b'"@"', b"[" * DEEP)), "not an answer record"),
    "200 MB": (_huge, "larger than"),
    "an entry twice": (put(whole().replace(b'"sheet"', b'"student": "KIM", "sheet"')), "stands twice"),
    "an entry of an answer twice": (put(answer().replace(b'"read"', b'"right": true, "read"')), "stands twice"),
    "NaN": (put(answer(number="@").replace(b'"@"', b"NaN")), "not JSON"),
    "Infinity": (put(answer(version="@").replace(b'"@"', b"-Infinity")), "not JSON"),
    "1e999": (put(answer(number="@").replace(b'"@"', b"1e999")), "not an answer record"),
    "5,000 digits": (put(answer(number="@").replace(b'"@"', b"9" * 5000)), "not an answer record"),
    "wrong UTF-8": (put(whole().replace(b"ROBIN", b"ROB\xff")), "not text in UTF-8"),
    "overlong UTF-8": (put(whole().replace(b"ROBIN", b"\xc0\xaf")), "not text in UTF-8"),
    "lone surrogate": (put(answer(text="@").replace(b"@", b"\\ud83d")), "not JSON"),
    "surrogate as bytes": (put(answer(text="@").replace(b"@", b"\xed\xa0\xbd")), "not text in UTF-8"),
    "UTF-16": (put(HONEST.decode().encode("utf-16")), None),
    "byte order mark": (put(b"\xef\xbb\xbf" + HONEST), None),
    "half of UTF-16": (put(HONEST.decode().encode("utf-16")[:101]), "not "),
    "pipe": (lambda folder: os.mkfifo(folder / "pipe.json"), "a pipe"),
    "socket": (_socket, "a (device|pipe)"),
    "link to elsewhere": (lambda folder: (folder / "link.json").symlink_to("/etc/passwd"), "a link"),
    "link to nothing": (lambda folder: (folder / "link.json").symlink_to("nowhere"), "a link"),
    "link to itself": (lambda folder: (folder / "link.json").symlink_to("link.json"), "a link"),
    "link to the folder above": (
        lambda folder: (folder / "up").symlink_to("..", True),
        "not an answer record by its name",
    ),
    "link to an endless device": (lambda folder: (folder / "zero.json").symlink_to("/dev/zero"), "a link"),
    "folder named like a file": (lambda folder: (folder / "f.json" / "in.json").mkdir(parents=True), None),
    "folders twelve deep": (_deep, "deep: not looked into"),
    "path in the student code": (put(whole(student="../../ROBIN")), "regex"),
    "path in the course code": (put(whole(course="..\\..\\X")), "regex"),
    "path in the sheet": (put(whole(sheet="../h01")), "regex"),
    "path in a problem id": (put(answer(problem="../../etc/passwd")), "regex"),
    "absolute path as code": (put(whole(student="/ETC/PASSWD")), "regex"),
    "zero sign in a code": (put(whole(student="ROBIN\x00")), "regex"),
    "line end in a code": (put(whole(student="ROBIN\n")), "regex"),
    "letters that look alike": (put(whole(student="R\u041eBIN")), "regex"),
    "small letters": (put(whole(student="robin")), "regex"),
    "a code of 1,000 letters": (put(whole(student="R" * 1000)), "regex"),
    "true for 1": (put(answer(number=True)), "got `bool`"),
    "1 for true": (put(answer(right=1)), "got `int`"),
    "text for a number": (put(answer(number="1")), "got `str`"),
    "number for a text": (put(answer(text=4.88)), "text"),
    "nothing for a text": (put(answer(text=None)), "text"),
    "object for a text": (put(answer(text={"a": 1})), "text"),
    "a list of everything": (put(b"[" + HONEST + b"]"), "got `array`"),
    "an entry too many": (put(whole(mark=10)), "unknown field"),
    "an entry missing": (put(b'{"course": "BENCH-9", "sheet": "h01"}'), "missing required field"),
    "3,000 answers": (put(whole(answers=json.loads(HONEST)["answers"] * 1500)), "length"),
    "an answer of a million signs": (put(answer(text="9" * 1_000_000)), "length"),
    "the year 9999": (put(answer(at="9999-12-31T23:59:59+00:00")), "year 9999"),
    "the year 1 far east": (put(answer(at="0001-01-01T00:00:00+14:00")), "year 1 "),
    "a day that is none": (put(answer(at="2026-02-30T00:00:00Z")), "not an answer record"),
    "version 0": (put(answer(version=0)), ">= 1"),
    "version of the future": (put(answer(version=999)), None),
    "format 2": (put(whole(format=2)), "format 2 is not known"),
    "hints for 1,000 problems": (put(whole(hints={f"99-p{n}": 1 for n in range(1000)})), "length"),
    "other people's code": (put(whole(student="KIM")), "figures that are not those"),
    "nobody's code": (put(whole(student="NOBODY")), "not on the class list"),
    "another course": (put(whole(course="OTHER")), "wrong course"),
    "another sheet": (put(whole(sheet="h02")), "not among those marked here"),
    "a sheet that is none": (put(whole(sheet="z99")), "not among those marked here"),
    "a problem from elsewhere": (put(answer(problem="99-none")), "not on sheet"),
    "calls itself right": (put(answer(right=True)), "worked out again"),
    "figures of another": (put(answer(figures="0" * 12)), "figures that are not those"),
    "moved numbers": (put(answer(number=2)), "not numbered"),
    "times backwards": (put(answer(at="2026-05-01T00:00:00Z")), "run backwards"),
    "zip renamed": (_zip, "not "),
    "gzip renamed": (put(b"\x1f\x8b\x08" + bytes(200)), "not JSON"),
    "pickle renamed": (put(RUN, "pickle.json"), "not "),
    "pickle": (put(RUN, "answers.pkl"), "not opened"),
    "notebook": (put(json.dumps({"cells": [{"source": CANARY}]}).encode(), "h01.ipynb"), "not opened"),
    "notebook renamed": (put(json.dumps({"cells": [{"source": CANARY}]}).encode()), "unknown field"),
    "program": (put(CANARY.encode(), "conftest.py"), "not opened"),
    "start-up file": (put(CANARY.encode(), "sitecustomize.py"), "not opened"),
    "name with a line end": (put(b"{", "a\nb.json"), "cut off"),
    "name with markup": (put(b"{", "<img src=x onerror=alert(1)>.json"), "cut off"),
    "name that is a formula": (put(b"{", "=1+1.json"), "cut off"),
    "name of 250 letters": (put(b"{", "n" * 250 + ".json"), "cut off"),
    "name that is not UTF-8": (_bytes_name, "cut off"),
    "name with a turned direction": (put(b"{", "a\u202enosj.json"), "cut off"),
    "markup in an answer": (put(typed("<script>alert(1)</script><img src=x onerror=alert(1)>")), None),
    "markup in a unit": (put(answer(unit="<b>'\"&</b>")), None),
    "formula in an answer": (put(typed('=HYPERLINK("http://x","y")')), None),
    "command in an answer": (put(typed("@SUM(1)|cmd'/C calc'!A0")), None),
    "zero sign in an answer": (put(typed("1\x00 °C")), None),
    "turned direction in an answer": (put(typed("\u202e1 °C\u2066")), None),
    "digits of all scripts": (put(typed("١٢٣٤ °C ４２ Ⅷ ²")), None),
    "an answer that is slow to read": (put(typed("1 " * 30 + "1,1.1'1" * 20)), None),
    "only marks": (put(typed(".,'" * 80)), None),
    "a table of 100 for one number": (put(typed(["1 °C"] * 100)), None),
}


def fuzzed(count, seed):
    """`count` damaged records: bytes changed, cut out, doubled, or values exchanged for odd ones."""
    luck = random.Random(seed)
    for _ in range(count):
        yield luck.choice((_bytes_changed, _cut, _doubled, _values, _texts, _texts))(luck)


def _bytes_changed(luck):
    data = bytearray(HONEST)
    for _ in range(luck.randint(1, 8)):
        data[luck.randrange(len(data))] = luck.choice((luck.randrange(256), *b'{}[]",:\\0e'))
    return bytes(data)


def _cut(luck):
    a, b = sorted(luck.randrange(len(HONEST)) for _ in range(2))
    return HONEST[:a] + HONEST[b:]


def _doubled(luck):
    a, b = sorted(luck.randrange(len(HONEST)) for _ in range(2))
    return HONEST[:b] + HONEST[a:b] * luck.randint(1, 50) + HONEST[b:]


ODD_SIGNS = "0123456789.,'-+eE×·^ °CKmVµ%;\\n<>&\"=@\\t\u202e\u0661\u00bd\ud7ff"


def _texts(luck):
    """A whole record of texts that nobody would type, for problems of the sheet."""
    record = json.loads(HONEST)
    model = record["answers"][0]
    texts = ["".join(luck.choices(ODD_SIGNS, k=luck.randint(0, 70))) for _ in range(luck.randint(1, 5))]
    texts = [texts, *texts] if luck.random() < 0.5 else texts
    record["answers"] = [
        model
        | {"number": n, "text": text, "problem": luck.choice(PLAN.ids), "unit": luck.choice((None, "V", "°C", "<b>"))}
        for n, text in enumerate(texts, 1)
    ]
    return json.dumps(record).encode()


ODD_VALUES = (
    None,
    True,
    0,
    -1,
    1.5,
    10**30,
    "",
    "\u0000",
    "=1",
    "<b>",
    [],
    {},
    [[]],
    "9" * 300,
    "1e308 °C",
    "NaN",
    "-0",
)


def _values(luck):
    record = json.loads(HONEST)
    for _ in range(luck.randint(1, 3)):
        place = record if luck.random() < 0.3 else luck.choice(record["answers"] or [record]) if isinstance(
            record.get("answers"), list) else record  # fmt: skip
        if isinstance(place, dict) and place:
            place[luck.choice(sorted(place))] = luck.choice(ODD_VALUES)
    return json.dumps(record).encode()
