"""``skimwright training``: a day for teachers, with six boats that each have one planted fault."""

from __future__ import annotations

from pathlib import Path

from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.lesson import paper
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

USUAL_SET = 1


def answer(ask: Ask) -> Answer:
    """Write the pack, or the sealed page alone."""
    from skimwright import desk

    given = ask.given
    said = spoken(ask)
    ask.ready_model()
    made = desk.training_pack(
        ask.season(), words=said.words, first=said.first, seed=given["set"], only_answers=given["answers"],
        paper=given["paper"], large=given["large_print"], foot=said.foot,
    )  # fmt: skip
    name = f"training-{'answers-' if given['answers'] else ''}set-{given['set']}.pdf"
    content = ask.files.as_pdf(
        list(made.pages), title=name.removesuffix(".pdf"), language=ask.given["language"]
    )
    files = [str(ask.files.write(Path(given["out"] or ".") / name, content))]
    data = {
        "set": made.day.seed,
        "kit": made.kit,
        "device": made.device,
        "sheet": [{"when": when, "what": what, "with": needs} for when, what, needs in made.day.sheet],
        "boats": [
            {"boat": b.letter, "fault": b.fault.key.replace("_", "-"), "plant": b.plant, "answer": b.answer,
             "on_the_water": b.does}
            for b in made.day.boats
        ],
        "later": list(made.day.later),
        "files": files,
    }  # fmt: skip
    plain = f"Training day, set {made.day.seed}, six boats of {made.kit}, written: {files[0]}"
    text = "\n".join([plain, "", table(["when", "what"], [[when, what] for when, what, _ in made.day.sheet]),
                      "", "Keep the sealed page from the trainees."])  # fmt: skip
    return Answer(data=data, text=text, plain=plain)


VERB = Verb(
    name="training",
    does="a training day for teachers: run sheet, six boats with planted faults, sealed answers, check-in",
    tells="The faults are as large as this season's boats had them, and what each does on the water is worked out. "
    "The same set number prints the same answers again, should the sealed page be lost.",
    options=(
        Option(
            flag="--set", value="N", does="which fault is in which boat; 1 unless given",
            read=whole(low=1, high=9999), usual=USUAL_SET,
        ),
        Option(flag="--answers", does="only the sealed page, once more"),
        LANGUAGE,
        Option(flag="--large-print", does="large letters"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="folder for the PDF; this one unless given"),
    ),
    example="training --out training",
    answer=answer,
)  # fmt: skip
