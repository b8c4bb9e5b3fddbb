"""The cases of `compare_outputs.py`: which commands are run, over what, and the inputs written for them.

In a command `{out}` is an empty folder of the case and `{made}` the folder that `make_inputs` fills. Options of one command
stand in one text, `|` between the runs. A case that is taken away or renamed is told as such by a comparison.
"""

from __future__ import annotations

import csv
import itertools
import shlex
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
SAMPLES, DATA = "samples", "tests/data"
CHILDREN = ("k07", "m12", "t03", "t03_es")
PAGES = ("session", "group", "family", "cards", "match", "listen", "plan")
M12 = "samples/m12.toml"
Line = list[str]
"""What is typed after `approx`."""


class Call(NamedTuple):
    """One command, and what stands on stdin."""

    words: tuple[str, ...]
    stdin: bytes = b""


class Case(NamedTuple):
    """Commands that belong together, run one after the other in one folder. own_home: with own words of its own."""

    name: str
    calls: tuple[Call, ...]
    own_home: bool = False


def one(name: str, *words: str, stdin: bytes = b"") -> Case:
    return Case(name, (Call(words, stdin),))


def several(name: str, *lines: Line, own_home: bool = False) -> Case:
    return Case(name, tuple(Call(tuple(line)) for line in lines), own_home)


def split(text: str) -> list[Line]:
    """The runs of a text of options: "--json | --count 3" are two."""
    return [shlex.split(part) for part in text.split("|")]


def with_options(start: Line, text: str) -> list[Line]:
    return [[*start, *more] for more in split(text)]


def children() -> dict[str, str]:
    """Every child file of the test data and the samples, by a name."""
    found = {f"{path.parts[-3]}-{path.stem}": path for path in sorted((ROOT / DATA).glob("**/profiles/*.toml"))}
    found |= {f"samples-{name}": ROOT / f"{SAMPLES}/{name}.toml" for name in CHILDREN}
    return {name: path.relative_to(ROOT).as_posix() for name, path in found.items()}


def sample_files() -> list[str]:
    return [f"{SAMPLES}/{name}.csv" for name in ("k07", "k07_later", "m12", "m12_later", "t03")]


def table(path: str) -> list[dict[str, str]]:
    """Rows of a table, without the lines of remarks before its heading."""
    lines = (ROOT / path).read_text(encoding="utf-8").splitlines()
    start = next(at for at, line in enumerate(lines) if not line.startswith("#"))
    reader = csv.DictReader(lines[start:], delimiter="\t" if path.endswith(".tsv") else ",", restval="")
    return [{key: value or "" for key, value in row.items() if key} for row in reader]


def pairs() -> Iterator[tuple[str, str, str, str]]:
    """Name of the table, target, production and language of every pair of the test data, each once."""
    seen: set[tuple[str, str, str]] = set()
    for file, target, produced in (
        ("process_examples.csv", "target_ipa", "produced_ipa"),
        ("worked_examples.csv", "target_ipa", "produced_ipa"),
        ("alignments.tsv", "target", "produced"),
        ("judged_processes2.tsv", "target", "produced"),
        ("accents.tsv", "target", "said"),
    ):
        for row in table(f"{DATA}/{file}"):
            language = row.get("language") or ("es-MX" if row.get("accent", "").startswith("spanish-") else "en-US")
            language = "en-US" if language == "en-GA" else language
            pair = row[target], row[produced], language
            if pair not in seen and row[target] and row[produced]:
                seen.add(pair)
                yield (file.partition(".")[0], *pair)


# The cases, a topic a function.

PHRASES = (
    "big spoon|hi Mama|I want more juice please|the refrigerator is broken|Mama's shoes|don't go there|zib=/zɪb/ 3 dogs|"
    "/spun/ banana|read a book|ice cream splash||mamá come pan|el perro está en la casa|quiero más leche por favor|"
    "refrigerador|guitarra y pingüino"
).split("|")


def suggest_cases() -> Iterator[Case]:
    for name, path in children().items():
        spanish = name.endswith("_es")
        every, short = (f"{{made}}/{list_}{'_es' if spanish else ''}.txt" for list_ in ("every", "short"))
        yield one(f"suggest/list-csv/{name}", "suggest", "--words", every, "-c", path, "--csv", "--top", "2")
        runs = "| --emerging | --json --top 20 | --emerging --short --json"
        yield several(f"suggest/short-list/{name}", *with_options(["suggest", "--words", short, "-c", path], runs))
        yield several(f"suggest/phrases/{name}", *(["suggest", phrase, "-c", path] for phrase in PHRASES))
    for name in CHILDREN:
        who = ["-c", f"{SAMPLES}/{name}.toml"]
        words = f"{DATA}/{'spanish' if name == 't03_es' else 'child'}_words.tsv"
        yield one(f"suggest/list/{name}", "suggest", "--words", words, *who, "--csv")
        yield one(f"suggest/list/{name} emerging", "suggest", "--words", words, *who, "--emerging")
        runs = "--json | --csv | --short | --emerging --short | --top 1 | --top 20 --json"
        runs += "| --language es-MX | --language en-US | --language deu-Latn"
        for at, phrase in enumerate(PHRASES):
            yield several(f"suggest/options/{name}-{at:02} {phrase}", *with_options(["suggest", phrase, *who], runs))
        yield one(f"suggest/stdin/{name}", "suggest", "-", *who, stdin=b"hi Mama\nbig spoon\n")
        yield one(f"suggest/list-stdin/{name}", "suggest", "--words", "-", *who, stdin=b"cup\npan\n")
        if name != "t03_es":
            yield one(f"suggest/phrase-list/{name}", "suggest", "--words", f"{SAMPLES}/{name}_phrases.txt", *who)
    runs = "--rules {made}/rules --json | --rules {made}/faulty | --rules nowhere"
    yield several("suggest/rules", *with_options(["suggest", "fan five", "-c", M12], runs))
    yield one("suggest/x-sampa", "suggest", "/spun/ /T{t/", "-c", M12, "--notation", "x-sampa")
    for words in (
        "held_back_words",
        "english_words",
        "english_forms",
        "inflections",
        "spanish_held_back",
        "spanish_rules",
    ):
        child = f"{SAMPLES}/t03{'_es' if words.startswith('spanish') else ''}.toml"
        yield one(f"suggest/readings/{words}", "suggest", "--words", f"{DATA}/{words}.tsv", "-c", child, "--csv")
    spain = ["suggest", "--words", f"{DATA}/spanish_spain.tsv", "-c", f"{SAMPLES}/t03_es.toml", "--language", "es-ES"]
    yield several("suggest/readings/spain", spain)
    for file in sorted((ROOT / DATA / "nasty_words").glob("*.*")):
        start = ["suggest", "--words", f"{DATA}/nasty_words/{file.name}", "-c", M12]
        yield several(f"suggest/nasty/{file.name}", *with_options(start, "| --json"))


def pair_cases() -> Iterator[Case]:
    both = [[command, *more] for command in ("explain", "align") for more in split("| --json")]
    for number, (file, target, produced, language) in enumerate(pairs()):
        given = [target, produced, "--language", language]
        lines = ([command, *given, *more] for command, *more in both)
        yield several(f"pairs/{file}/{number:04} {target} {produced}", *lines)
    for at, row in enumerate(table(f"{DATA}/typed_forms.tsv")):
        typed = row["typed"].replace("\\u0303", "\u0303").replace("␣", " ")
        given = [typed, typed, "--language", row["language"] or "en-US"]
        yield several(f"pairs/typed_forms/{at:03}", ["align", *given, "--json"], ["explain", *given])
    for at, row in enumerate(table(f"{DATA}/syllables.tsv")):
        half = row["typed"][: len(row["typed"]) // 2]
        yield one(f"pairs/syllables/{at:03}", "explain", row["typed"], half, "--language", row["language"], "--json")
    for command in ("explain", "align"):
        runs = """'T{t' 't{' --notation x-sampa | spun '' | '' pun | spun 7 | 日本 pun | spun xxx | spun | spun pun more
            | spun pun --notation arpabet | spun pun --language zz | spun ˈCVCV | bəˈnænə ˈnænə --language deu-Latn
            | 'ɡʊd baɪ' 'ɡʊ ba' --json | spun 7 --json"""
        for at, line in enumerate(with_options([command], runs)):
            yield one(f"pairs/{command}/{at:02}", *line)
    runs = "--rules {made}/rules | --rules {made}/faulty | --rules nowhere --json"
    yield several("pairs/explain/rules", *with_options(["explain", "fæn", "pæn"], runs))


SETTINGS = (
    "accents=casual|repeats=first|repeats=best|runs=every|doubtful=as heard|unidentified=wrong|additions_wrong=no|"
    "vowel_epenthesis_is_addition=yes|final_voicing_errors=no|unstressed_h_and_ng_right=no|lisp_is_distortion=yes|"
    "coalescence=one|metathesis=slots|syllabic=vowel|spanish_glides=consonant|pmlu_cap=no|pmlu_vowels=yes|"
    "pmlu_distortions_right=no|pmlu_syllabic_point=no|pwp_of_sample=mean|pwc_distortions_right=yes|"
    "pwv=zero when all alike|pwv=shapes less one over tokens less one|variability=no turns to the right form|"
    "tokens_a_word=2|h_is_fricative=yes|w_is_velar=yes|postvocalic_r=vowel|wcm_syllabic=consonant|"
    "ipc_variegation=change|ipc_clusters=syllable|ipc_tr_homorganic=no|interval_words=3|"
    "confidence=80|confidence=7|repeats=never|nothing=1|seed|tokens_a_word=1"
).split("|")
ACCENTS = (
    "african-american-english|eastern-new-england-new-york-english|glottal-t|southern-us-english|spanish-andalusia|"
    "spanish-argentina-uruguay|spanish-caribbean|spanish-central-america|spanish-chile|spanish-influenced-english|"
    "spanish-northern-mexico|spanish-panama|martian"
).split("|")
GROUPS = """| --json | --csv | --language es-MX --json | --by child --json | --by child,session_date,context --json
    | --by language --json | --by nothing --json | --by '' --json"""


def score_cases() -> Iterator[Case]:
    for path in sample_files():
        name = Path(path).stem
        for command in ("score", "processes"):
            yield several(f"{command}/samples/{name}", *with_options([command, path], GROUPS))
            yield one(f"{command}/stdin/{name}", command, "-", "--json", stdin=(ROOT / path).read_bytes())
        write = ["score", path, "--xlsx", "{out}/scores.xlsx", "--page", "{out}/page.html"]
        yield several(f"score/written/{name}", write, ["score", "{out}/scores.xlsx", "--json"], write)
        yield several(f"processes/tokens/{name}", *with_options(["processes", path, "--tokens"], "| --json | --csv"))
        yield several(f"inventory/{name}", *inventory_lines(path))
        yield one(f"signature/score {name}", "score", path)
        yield one(f"signature/processes {name}", "processes", path, "--json")
    for setting in SETTINGS:
        files = ("samples/k07.csv", "samples/m12.csv", "samples/t03.csv", "{made}/accents.csv")
        yield several(f"score/set/{setting}", *(["score", file, "--set", setting, "--csv"] for file in files))
    for accent in ACCENTS:
        calls = itertools.product(("score", "processes"), ("{made}/accents.csv", "samples/t03.csv"))
        yield several(f"score/accents/{accent}", *([name, file, "--accent", accent, "--json"] for name, file in calls))
    for file in (
        *(f"{DATA}/{name}.csv" for name in ("process_examples", "worked_examples")),
        *(f"{{made}}/{name}.csv" for name in ("alignments", "judged", "accents", "many")),
    ):
        name = Path(file).stem
        runs = "| --csv | --tokens --csv | --by language --json"
        lines = with_options(["score", file], "| --by language --json") + with_options(["processes", file], runs)
        yield several(f"score/pairs/{name}", *lines)
        if name != "worked_examples":
            yield several(f"inventory/{name}", *inventory_lines(file))
    long = [[command, "{made}/long.csv", "--csv"] for command in ("score", "processes")]
    yield several("score/pairs/long", *long, ["inventory", "{made}/long.csv", "--by", "language"])
    runs = "--xlsx {out}/no/a.xlsx | --page {out}/no/a.html"
    yield several("score/no folder", *with_options(["score", "samples/m12.csv"], runs))
    runs = """--lost-sounds drop | --lost-sounds other | --weak-syllables 'pretonic and medial' | --weak-syllables x
        | --least-chances 1 --json | --least-chances 0 | --active-percent 5 --frequent-percent 10
        | --active-percent 60 --frequent-percent 10 | --criterion instances | --criterion instances --instances 2 --csv
        | --criterion x | --rules {made}/rules | --rules {made}/faulty | --json --csv | --tokens --json --csv"""
    for file in ("samples/t03.csv", "{made}/judged.csv"):
        yield several(f"processes/options/{Path(file).stem}", *with_options(["processes", file], runs))


def inventory_lines(file: str) -> list[Line]:
    runs = """| --json | --by session_date | --criterion 'two tokens' --json | --criterion 'three words'
        | --criterion 'five words' | --language es-MX | --write {out}/child.toml | --write {out}/child.toml
        | --write {out}/child.toml --force --json | --write {out}/no/child.toml"""
    made = [["child", "show", "{out}/child.toml"], ["suggest", "big spoon, banana", "-c", "{out}/child.toml", "--json"]]
    return with_options(["inventory", file], runs) + made


def nasty_cases() -> Iterator[Case]:
    """Files that trip a careless reader, through every command that takes one."""
    files = [f"{DATA}/nasty/{path.name}" for path in sorted((ROOT / DATA / "nasty").iterdir())]
    for path in files + [f"{{made}}/{name}" for name in binaries()]:
        runs = "score F --json | score F | processes F --tokens | processes F --csv | inventory F --json | agree F F"
        runs += "| progress F | report F F | predict F {made}/short.txt"
        runs += "| phrases -c samples/m12.toml --count 2 --words F | sheet cards -c samples/m12.toml --json --words F"
        yield several(
            f"nasty/{Path(path).name}", *([path if word == "F" else word for word in line] for line in split(runs))
        )


def predict_cases() -> Iterator[Case]:
    for path in sample_files():
        start = ["predict", path, "{made}/few_es.txt" if "t03" in path else "{made}/few.txt"]
        yield several(f"predict/{Path(path).stem}", *with_options(start, "| --json --top 2 --probe 0"))
    yield one("predict/language", "predict", "samples/t03.csv", "{made}/few_es.txt", "--language", "es-MX", "--json")
    yield one("predict/stdin", "predict", "samples/m12.csv", "-", "--probe", "1", stdin=b"soup\nkey\nsoup\n")
    nasty = f"{DATA}/nasty_words"
    runs = f"""{nasty}/csv_with_ipa.csv | {{made}}/two.txt --rules {{made}}/rules --json | {nasty}/empty.txt | nowhere.txt --json
        | {nasty}/emoji.txt --json | nowhere.txt | | {{made}}/two.txt --top 0 | {{made}}/two.txt --rules nowhere"""
    yield several("predict/more", *with_options(["predict", "samples/m12.csv"], runs), ["predict", "-", "-"])


def two_file_cases() -> Iterator[Case]:
    """Two files beside each other: agreement and report."""
    files = [*sample_files(), f"{DATA}/process_examples.csv", "{made}/second.csv", "nowhere.csv"]
    for left, right in itertools.product(files, repeat=2):
        for command in ("agree", "report"):
            name = f"{command}/{Path(left).stem} {Path(right).stem}"
            yield several(name, *with_options([command, left, right], "| --json"))
    runs = """--page {out}/page.html | --page {out}/page.docx | --page {out}/page.pdf | --page {out}/page.txt
        | --page {out}/es.html --language es | -c K07 | -c X99 | --accent casual | --accent x | --language fr
        | --sample-language es-MX | --page {out}/no/page.html"""
    for name in ("k07", "m12"):
        start = ["report", f"{SAMPLES}/{name}.csv", f"{SAMPLES}/{name}_later.csv"]
        yield several(f"report/pages/{name}", *with_options(start, runs))
    yield one("agree/language", "agree", "samples/t03.csv", "samples/t03.csv", "--language", "es-MX")


WORD_OPTIONS = """--json | --csv | --emerging | --new 0 | --new 3 --count 3 | --order early | --order harder --json
    | --category food --category animals | --category annimals | --pos verb | --pos nown | --shape CVC | --shape CV.CV --json
    | --shape XYZ | --sound k | --sound r | --sound 7 | --new-sound k --count 6 | --exclude 'mama, cup' --exclude {made}/few.txt
    | --goal 'k initial' --json | --goal 'r initial' | --goal 'velar fronting' | --goal 'velar fronted'
    | --goal 'sp initial' --set 4 | --own {made}/own.csv --count 3 | --own nowhere.csv | --picturable | --contrast
    | --contrast --json | --set 8 | --set 8 --seed 5 --json | --set 12 --contrast | --set 9 --category drinks --new 0
    | --set 8 --emerging --picturable --csv | --language es-MX | --language deu-Latn | --rules {made}/rules | --rules nowhere
    | --json --csv | --order later | --count 0 | --count 500 --csv"""


def word_cases() -> Iterator[Case]:
    for name, path in children().items():
        start = ["words", "-c", path, "--count", "4"]
        yield several(f"words/{name}", *with_options(start, "| --set 6 --json | --contrast --csv"))
    for name in CHILDREN:
        for at, line in enumerate(with_options(["words", "-c", f"{SAMPLES}/{name}.toml"], WORD_OPTIONS)):
            yield one(f"words/options/{name} {at:02} {' '.join(line[3:])}", *line)
    runs = "spoon | read | read --json | zwib | banana --language es-MX | 日本 | '' | Bo | 3 | ice-cream"
    yield several("words/say", *with_options(["words", "say"], runs))
    yield several("words/wrong", *with_options(["words"], "| -c nowhere.toml | -c nowhere.toml --json | other"))


SCENE, SPANISH_SCENE = (
    "Mama, Bo, eat, dig, mud, pea, cup, big, boat",
    "mamá, nena, come, pan, sopa, grande, mano, pelota",
)
RELATIONS = (
    "nomination|recurrence|nonexistence|rejection|demonstrative-entity|possessor-possession|attribute-entity|"
    "entity-location|action-location|agent-action|action-object|agent-object|agent-action-object|agent-action-location|"
    "action-object-location|place|compound|question-where|question-who|question-what|svo|agent action object|friendship"
).split("|")
PHRASE_OPTIONS = """| --json | --csv | --frames | --frames --json | --frames --csv | --emerging --count 12 | --length 2 --seed 4
    | --length 3 --seed 7 --json | --language es-MX | --language fr | --count 40 --csv | --length 9 | --words ' , ; '
    | --words nowhere.txt --json | --words '???, !!!' | --grammar 'dig mud' --frames | --order brown | --json --csv
    | --rules {made}/rules"""


def phrase_cases() -> Iterator[Case]:
    for name in CHILDREN:
        spanish = name == "t03_es"
        start = ["phrases", "-c", f"{SAMPLES}/{name}.toml"]
        for at, line in enumerate(with_options(start, PHRASE_OPTIONS)):
            yield one(f"phrases/{name} {at:02} {' '.join(line[3:])}", *line)
        scene, short = (SPANISH_SCENE, "{made}/short_es.txt") if spanish else (SCENE, "{made}/short.txt")
        for at, more in enumerate(([], ["--json"], ["--csv"], ["--relation", "svo"])):
            yield one(f"phrases/scene/{name} {at}", *start, "--words", scene, *more)
        yield one(f"phrases/scene/{name} file", *start, "--words", short, "--frames")
        for relation in RELATIONS:
            yield one(f"phrases/relation/{name} {relation}", *start, "--relation", relation, "--count", "4")
        asked = ["dig mud", "Mama eat pea", "of the", "more mud"]
        if name in ("m12", "t03_es"):
            asked = [row["phrase"] for row in table(f"{DATA}/{'spanish' if spanish else 'english'}_sentences.tsv")]
        for at, phrase in enumerate(asked):
            runs = "| --order brown --json" + (" | --order sounds | --order up" if at < 6 else "")
            lines = with_options([*start, "--grammar", phrase], runs)
            yield several(f"phrases/grammar/{name} {at:02} {phrase}", *lines)
    for at, row in enumerate(table(f"{DATA}/demo_phrases.tsv")[::4]):
        yield one(f"phrases/grammar/demo {at:02} {row['phrase']}", "phrases", "-c", M12, "--grammar", row["phrase"])
    yield several("phrases/wrong", *with_options(["phrases"], "| -c nowhere.toml | -c nowhere.toml --json"))


def sheet_cases() -> Iterator[Case]:
    for name, page in itertools.product(CHILDREN, PAGES):
        words = "'pan, mano, sopa, leche'" if name == "t03_es" else "'cup, spoon, hat, boot, Nana'"
        runs = f"""--words {words} --html {{out}}/page.html --date 2026-03-02 --number 3 --example | --words {words} --json
            | --words {words} --language es --paper letter --html {{out}}/es.html
            | --html {{out}}/chosen.html --emerging --seed 3 | --phrases samples/m12_phrases.txt --json --next-date 2026-03-09
            | --words {words} --order random --probe 'pie, mud' --goal-trials 60 --json"""
        start = ["sheet", page, "-c", f"{SAMPLES}/{name}.toml", "--minutes", "30"]
        yield several(f"sheet/{page}/{name}", *with_options(start, runs))
    for page in PAGES:
        start = ["sheet", page, "-c", M12, "--words", "cup, spoon, hat", "--minutes", "30"]
        yield several(f"sheet/printed/{page}", *with_options(start, "--pdf {out}/page.pdf | --docx {out}/page.docx |"))
    runs = """group C K --words 'cup, hat' --words mama | group C K | family C K | family C --html {out}/a.html --words cup
        | family C --html {out}/a.html --words cup | family C --html {out}/a.html --words hat --force
        | family C --html {out}/no/a.html --words hat | | letter C | family | family -c nowhere.toml"""
    runs = runs.replace(" C", f" -c {M12}").replace(" K", " -c samples/k07.toml")
    yield several("sheet/more", *with_options(["sheet"], runs))
    runs = """--words '' | --words 'cup, 日本' | --words nowhere.txt | --minutes 1 | --goal-trials 1 | --probe ''
        | --phrases {made}/few.txt | --paper a3 | --order zig | --language fr | --words cup --words hat | --words 'cup, Cup'
        | --words 'zib=/dɪb/, cup' | --words {made}/own.csv | --rules {made}/faulty | --minutes soon
        | --minutes 20 --goal-trials 150 --words 'cup, hat, mat'"""
    for page in ("session", "plan"):
        for at, line in enumerate(with_options(["sheet", page, "-c", M12], runs)):
            yield several(f"sheet/wrong/{page} {at:02} {line[4]}", line, [*line, "--json"])


def progress_cases() -> Iterator[Case]:
    runs = """| --json | --csv | -c K07 | -c X99 | --measure 'set 1' --json | --measure 'SET 2' | --measure 'set 9'
        | --treated set1=5 --json | --treated 'set 1=B1' | --treated 'set 9=3' | --treated 5 | --percent 80 --sessions 3
        | --percent 200 | --sessions 0 | --json --csv | --page {out}/page.html | --page {out}/page.docx
        | --page {out}/page.html --language es --svg {out}/chart.svg | --page {out}/page.pdf | --page {out}/page.txt
        | --language fr | --page {out}/no/page.html | --svg {out}/no/chart.svg"""
    for file in ("samples/probes.csv", "{made}/wide.tsv", "samples/m12.csv", "{made}/bad_probes.csv", "nowhere.csv"):
        for at, line in enumerate(with_options(["progress", file], runs)):
            yield one(f"progress/{Path(file).stem}/{at:02} {' '.join(line[2:4]).replace('/', ' ')}", *line)
    yield one("progress/stdin", "progress", "-", stdin=(ROOT / "samples/probes.csv").read_bytes())


def about_cases(listed: Callable[[str], list[str]]) -> Iterator[Case]:
    """listed: the ids that `approx list` gives for a word."""
    lists = ("processes", "measures", "norms", "frames")
    yield several("about/list", *(line for what in lists for line in with_options(["list", what], "| --json")))
    for what in lists[:3]:
        for name in dict.fromkeys(listed(what)):
            yield several(f"about/{what}/{name}", *with_options(["about", name], "| --json"))
    for name in (
        "PCC|pcc-r|fronting|backing|final consonant deletion|FCD|stopping.labial|velar-fronting|nasal|fricative|"
        "whole-word proximity|spanish|severity|nothing of the kind|stoping|"
    ).split("|"):
        yield several(f"about/by name/{name}", *with_options(["about", name], "| --json"))
    runs = "| --json | --rules {made}/rules | --rules {made}/faulty | --rules {made}/faulty --json | --rules nowhere"
    yield several("about/doctor", *with_options(["doctor"], runs))


def help_cases() -> Iterator[Case]:
    commands = """| suggest | list | about | doctor | explain | align | processes | score | agree | inventory | predict
        | phrases | child | child new | child show | words | words say | version | sheet | progress | report | desk"""
    for line in split(commands):
        yield one(f"help/{' '.join(line) or 'approx'}", *line, "--help")
    wrong = f"""| version | sugest | --version | child | score | list | about | list x --json | suggest --nothing | suggest cup
        | suggest -c {M12} | suggest cup -c samples/m12.csv | suggest cup -c {M12} --top x | suggest cup -c {M12} --top 99
        | suggest cup -c {M12} --json --csv | suggest cup -c samples --json | suggest cup -c nowhere.toml --json
        | suggest --words nowhere.txt -c {M12} | suggest cup --words nowhere.txt -c {M12} | score nowhere.csv | score samples
        | score samples/m12.csv --json --csv | score nowhere.csv --json | processes nowhere.csv --json
        | inventory nowhere.csv --json | desk --port x | desk --language fr --no-browser"""
    yield several("help/wrong", *split(wrong))


def child_cases() -> Iterator[Case]:
    for name, path in children().items():
        yield several(f"child/show/{name}", *with_options(["child", "show", path], "| --json"))
    for name in CHILD_FAULTS:
        file = f"{{made}}/children/{name}.toml"
        show = with_options(["child", "show", file], "| --json")
        yield several(f"child/faults/{name}", *show, ["suggest", "cup", "-c", file])
    runs = """new {out}/a.toml --code X07 | new {out}/a.toml | show {out}/a.toml | new {out}/es.toml --language es-MX
        | new {out}/no/a.toml | new {out}/x.toml --language zz | new {out}/y.toml --code 'Emma Smith' | show nowhere.toml"""
    yield several("child/new", *with_options(["child"], runs))


def own_word_cases() -> Iterator[Case]:
    """Last, for a program that keeps own words in memory would carry them on."""
    runs = f"""words say read | words say read /ɹɛd/ | words say read | suggest 'read zib' -c {M12} | words say zib zɪb
        | suggest 'read zib' -c {M12} | words say read /ɹ7d/ | words say mesa /ˈmesa/ --language es-MX --json
        | words say zib '' --json | words -c {M12} --count 2"""
    yield several("own words", *split(runs), own_home=True)


def topics(listed: Callable[[str], list[str]]) -> dict[str, Iterator[Case]]:
    """All cases by topic, in the order in which they are to be run. listed: the ids that `approx list` gives for a word."""
    return {
        "suggest": suggest_cases(),
        "pairs": pair_cases(),
        "score": score_cases(),
        "nasty": nasty_cases(),
        "predict": predict_cases(),
        "two files": two_file_cases(),
        "words": word_cases(),
        "phrases": phrase_cases(),
        "sheet": sheet_cases(),
        "progress": progress_cases(),
        "about": about_cases(listed),
        "help": help_cases(),
        "child": child_cases(),
        "own words": own_word_cases(),
    }


# Inputs written for the cases.

RULE = """\
[[rule]]
id = "stopping.own"
process = "stopping"
change = "f -> p / # _"
cost = 0.1
source = "common practice, no source"
examples = [["fæn", "pæn"]]
"""
RULE_FAULTS = (
    ("f -> p", "[+lips] -> p"),
    ("f -> p / # _", "sp -> f"),
    ("f -> p / # _", "f -> f"),
    ('"pæn"', '"tæn"'),
    ("0.1", "-1"),
    ("0.1", ""),
    ('source = "common practice, no source"\n', ""),
    ('"stopping"', '"stoping"'),
    ("cost =", "prize ="),
    ("[[rule]]", "[rule"),
    (RULE, ""),
)
CHILD_FAULTS = {
    "empty": "",
    "no table": "code = ",
    "number": "code = 7\n",
    "name": 'code = "Emma Smith"\n',
    "language": 'code = "X1"\nlanguage = "english"\n',
    "age": 'code = "X1"\nage = "three"\n',
    "key": 'code = "X1"\nagee = "3;2"\n[reading]\na = "b"\n',
    "sounds": 'code = "X1"\n[consonants]\nall.established = "m qq 7"\nfinall.established = "p"\nall.emergent = "t"\n',
    "shapes": 'code = "X1"\n[syllables]\nestablished = ["CVX", "CV"]\nmax_syllables = "two"\nvariety = "same sounds"\n',
    "chosen": 'code = "X1"\n[consonants]\nall.established = "p n"\nclusters = ["sp first"]\n[chosen]\nspoon = "p7n"\ncup = ""\n',
    "heard": 'code = "X1"\n[heard]\nmommy = { form = "mɑmi", date = 2026-03-02 }\nsoup = { forms = "tup" }\n'
    '[changes]\n"t" = "k"\n"s first" = "h"\n',
    "good": 'code = "X1"\nage = "4;0"\naccent = ["casual"]\n[consonants]\nall.established = "m b p t d n h w"\n'
    'all.emerging = "k"\nfinal.established = "p t"\nclusters = ["nd final", "sp initial emerging"]\n[vowels]\n'
    'established = "i ɪ ɛ æ ɑ ʌ ə u oʊ eɪ aɪ"\n[syllables]\nestablished = ["V", "CV", "CVC"]\nmax_syllables = 2\n'
    'variety = "same consonant"\n[chosen]\nspoon = "pun"\n',
}
HEADING = "child,session_date,target_word,target_ipa,produced_ipa,language\n"
PLAIN = HEADING + "X01,2026-03-02,pea,pi,bi,en-US\nX01,2026-03-02,cup,kʌp,tʌp,en-US\nX02,,mañana,maˈɲana,ˈnana,es-MX\n"
PROBES = """\
child,session,session_date,phase,word_set,treated,right,out_of
K07,1,2026-03-05,A,set 1,no,11,10
K07,two,2026-13-05,A,set 1,maybe,x,10
K07,3,05.03.2026,,set 1,yes,,
K07,3,2026-03-07,A,,no,1,0
"""
RIGHT = (1, 2, 1, 2, 2, 4, 4, 6, 6, 7, 8, 8)
WIDE = "child\tsession\tphase\tset1_of_10\tuntreated_of_10\n" + "".join(
    f"K07\t{at}\t{'A' if at < 5 else 'B1'}\t{right}\t1\n" for at, right in enumerate(RIGHT, 1)
)
SHORT = "spoon banana refrigerator dog splash church yellow thumb vacuum ice-cream spaghetti mouth zipper string"


@cache
def binaries() -> dict[str, bytes]:
    """A sample in other encodings, and what is no sample at all."""
    western = PLAIN.replace("ʌ", "a").replace("ɲ", "n").replace("ˈ", "'")
    return {
        "utf16.csv": PLAIN.encode("utf-16"),
        "utf16_be.csv": PLAIN.encode("utf-16-be"),
        "western.csv": western.encode("cp1252"),
        "marked.csv": b"\xef\xbb\xbf" + PLAIN.replace("\n", "\r\n").encode(),
        "zero.csv": PLAIN.encode().replace(b",bi", b",b\x00i"),
        "bad_byte.csv": PLAIN.encode() + b"X01,2026-03-02,pea,pi,p\xe9,en-US\n",
        "picture.csv": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4,
        "old.xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600),
        "cut.xlsx": b"PK\x03\x04" + bytes(300),
    }


def make_inputs(folder: Path) -> None:
    """Everything a command finds under {made}. All of it invented, or pairs and words of the test data."""
    every = list(pairs())
    words, spanish = ([row["word"] for row in table(f"{DATA}/{name}_words.tsv")] for name in ("child", "spanish"))
    m12 = (ROOT / "samples/m12.csv").read_text(encoding="utf-8")
    texts = {
        "every.txt": "\n".join(words[::6]),
        "every_es.txt": "\n".join(spanish),
        "short.txt": SHORT.replace(" ", "\n"),
        "short_es.txt": "mano perro zapato leche plátano guitarra tren mariposa agua lápiz niño".replace(" ", "\n"),
        "few.txt": "spoon\nbanana\nkitty\nfish\nrabbit\n",
        "few_es.txt": "perro\nzapato\nleche\n",
        "two.txt": "fan\nkey\n",
        "own.csv": 'target_word,target_ipa\nzib,zɪb\ncup,\n"Bo",boʊ\nqqq,7\n',
        "rules/own.toml": RULE,
        "second.csv": m12.replace(",pi,pi,", ",pi,bi,").replace(",but,but,", ",but,bu,"),
        "wide.tsv": WIDE,
        "bad_probes.csv": PROBES,
        "many.csv": sample_text(every, 12),
        "long.csv": sample_text(every * 23, 6),  # over 20,000 rows: read as a long file
    }
    for name, file in (("alignments", "alignments"), ("judged", "judged_processes2"), ("accents", "accents")):
        texts[f"{name}.csv"] = sample_text([pair for pair in every if pair[0] == file], 1)
    for at, (old, new) in enumerate(RULE_FAULTS):
        texts[f"faulty/f{at:02}.toml"] = RULE.replace(old, new).replace(".own", f".own{at}")
    texts |= {f"children/{name}.toml": text for name, text in CHILD_FAULTS.items()}
    for path, data in {**{path: text.encode() for path, text in texts.items()}, **binaries()}.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)


def sample_text(rows: Sequence[tuple[str, str, str, str]], children: int) -> str:
    """Pairs as a sample, dealt out to so many children; each tenth production is the one of the row before."""
    lines = []
    for at, (_, target, produced, language) in enumerate(rows):
        said, month = rows[at - 1][2] if at % 10 == 9 else produced, 1 + at // children % 4
        lines.append(f'C{at % children:02},2026-0{month}-01,w{target},"{target}","{said}",{language}\n')
    return HEADING + "".join(lines)
