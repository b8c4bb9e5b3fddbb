"""The word data a clinician may check: rude forms and spellings, core words, first names, and what is natural in a phrase.

Everything is read here by short readers of its own; forms go through the project's IPA reader, names against the CMU
dictionary and the Spanish letter rules. What must and must not be rude or natural is judged by hand below.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import Any

import pytest

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.ipa import read
from approx.lexicon import pronunciations
from approx.lexicon.english.dictionary import dictionary_readings, entries
from approx.lexicon.spanish.letters import read_spanish

TAGS = {"en": "en-US", "es": "es"}
LANGUAGES = tuple(TAGS)
KINDS = {"rude", "bodily", "insult", "sexual", "slur", "drug"}
STRENGTHS = {"never", "laughed_at"}
MATCHES = {"whole", "start", "part", "repeated"}
VARIETIES = {
    "en": {"general", "US", "Southern US", "British"},
    "es": {"general", "Mexican", "Caribbean", "Central America", "Argentina", "Chile", "Spain"},
}
FUNCTIONS = {"request", "refuse", "direct", "comment", "greet", "call", "own", "ask", "answer"}
CORE_SOURCES = {"Banajee 2003", "Tardif 2008", "Banajee 2003; Tardif 2008", "common practice, no source"}
# As printed in a page that cites the study (Banajee, Dicarlo & Stricklin 2003); yeah is counted with yes there.
BANAJEE = (
    """I no yes yeah my the want is it that a go mine you what on in here more out off some help all-done""".split()
)

Row = dict[str, str]


@cache
def table(name: str) -> tuple[Row, ...]:
    return tuple(read_tsv(rules_path(f"lexicon/{name}.tsv")))


def sounds(form: str) -> str:
    return form.translate(str.maketrans("", "", "ˈˌ. "))


def is_clean(form: str, language: str) -> bool:
    """Read without a change or problem, and written as the reader writes it."""
    got = read(form, TAGS[language])
    return not got.problems and not got.changes and got.ipa == form and len(got.words) == 1


def stress_faults(form: str, language: str) -> bool:
    """Whether the main stress is missing in a longer word, or stands in a word of one syllable."""
    word = read(form, TAGS[language]).words[0]
    return (form.count("ˈ") == 1) != (len(word.starts) > 1)


def rude_rows(form: str, language: str) -> list[Row]:
    """Every row of the table that a form is heard as, by the words of its head."""
    said = sounds(form)
    hits = []
    for row in table(f"rude_{language}"):
        rude = sounds(row["form"])
        tests = {
            "whole": said == rude,
            "start": said.startswith(rude),
            "part": rude in said,
            "repeated": said in (rude, rude + rude),
        }
        if tests[row["match"]]:
            hits.append(row)
    return hits


# --- rude forms and spellings


@pytest.mark.parametrize("language", LANGUAGES)
def test_rude_forms_are_clean_and_of_the_closed_lists(language: str) -> None:
    rows = table(f"rude_{language}")
    assert len(rows) >= 100
    assert [row["form"] for row in rows if not is_clean(row["form"], language)] == []
    assert [row["form"] for row in rows if stress_faults(row["form"], language)] == []
    twice = [form for form, times in Counter(sounds(row["form"]) for row in rows).items() if times > 1]
    assert twice == []
    for row in rows:
        assert row["kind"] in KINDS and row["strength"] in STRENGTHS and row["match"] in MATCHES, row
        assert row["variety"] in VARIETIES[language], row
        assert row["spelling"] and row["note"], row


@pytest.mark.parametrize(
    ("language", "word", "form", "strength"),
    [
        # what a child is likely to make of these words, by hand
        ("en", "truck", "fʌk", "never"), ("en", "firetruck", "ˈfaɪɚˌfʌk", "never"), ("en", "fork", "fɔk", "never"),
        ("en", "sit", "ʃɪt", "never"), ("en", "clock", "kɑk", "never"), ("en", "count", "kʌnt", "never"),
        ("en", "six", "sɛks", "never"), ("en", "beach", "bɪt͡ʃ", "never"), ("en", "peanut", "ˈpinəs", "never"),
        ("en", "kick", "tɪt", "never"), ("en", "kitty", "ˈtɪti", "never"), ("en", "flag", "fæɡ", "never"),
        ("en", "grape", "ɹeɪp", "never"), ("en", "woodpecker", "ˈpɛkɚ", "never"), ("en", "twig", "dɪk", "never"),
        ("en", "raccoon", "kun", "never"), ("en", "granny", "ˈtɹæni", "never"), ("en", "crab", "kɹæp", "never"),
        ("en", "horse", "hɔɹ", "never"), ("en", "fish", "pɪs", "never"), ("en", "glass", "æs", "never"),
        ("en", "shell", "hɛl", "never"), ("en", "bus", "bʌt", "laughed_at"), ("en", "puppy", "ˈpupi", "laughed_at"),
        ("en", "please", "pi", "laughed_at"), ("en", "pea", "ˈpipi", "laughed_at"), ("en", "boot", "bub", "laughed_at"),
        ("en", "party", "ˈpɑti", "laughed_at"), ("en", "soup", "pup", "laughed_at"), ("en", "jam", "dæm", "laughed_at"),
        ("es", "fruta", "ˈputa", "never"), ("es", "peine", "ˈpene", "never"), ("es", "jabón", "kaˈbon", "never"),
        ("es", "foto", "ˈxoto", "never"), ("es", "año", "ˈano", "never"), ("es", "círculo", "ˈkulo", "never"),
        ("es", "perro", "ˈpedo", "laughed_at"), ("es", "casa", "ˈkaka", "laughed_at"), ("es", "pie", "piˈpi", "laughed_at"),
        ("es", "perrito", "ˈpito", "laughed_at"), ("es", "leche", "ˈtete", "laughed_at"),
    ],
)  # fmt: skip
def test_likely_slips_are_caught(language: str, word: str, form: str, strength: str) -> None:
    assert strength in {row["strength"] for row in rude_rows(form, language)}, word


@pytest.mark.slow
def test_everyday_words_are_not_called_rude() -> None:
    """Adult forms of everyday words: no warning. Those with the very sounds of a mild word are listed, and only those."""
    for word in "duck sheet beach deck sock come cup fact puppy shirt shut ball nut wood screw count clock bus".split():
        for reading in pronunciations(word):
            assert rude_rows(reading.ipa, "en") == [], word
    alike: dict[str, set[str]] = {}
    for language in LANGUAGES:
        alike[language] = {row["word"] for row in table(language) if rude_rows(row["ipa"], language)}
        assert not [r for row in table(language) for r in rude_rows(row["ipa"], language) if r["strength"] == "never"]
    assert alike["en"] == {"but", "hoe", "hose", "pea", "potty"}
    assert alike["es"] == {"cola", "pato"}


def test_words_of_need_are_never_forbidden() -> None:
    """Families want these said: they may be laughed at, no more."""
    for language, words in {"en": "pee poo poop potty pee-pee", "es": "caca pipí popó pupú"}.items():
        found = {row["spelling"]: row["strength"] for row in table(f"rude_{language}")}
        assert {word: found.get(word) for word in words.split()} == dict.fromkeys(words.split(), "laughed_at")


def test_rude_spellings_are_of_the_closed_lists() -> None:
    rows = table("rude_spellings")
    assert len(rows) > 150
    assert [k for k, times in Counter((r["spelling"], r["language"]) for r in rows).items() if times > 1] == []
    for row in rows:
        assert row["spelling"] == row["spelling"].lower() and row["spelling"].isalpha(), row
        assert row["language"] in LANGUAGES and row["match"] in {"whole", "piece"} and row["note"], row
        assert row["kind"] in KINDS and row["strength"] in STRENGTHS, row
    english = {row["spelling"] for row in rows if row["language"] == "en"}
    assert set("tit ass cum fuk fuhk poo pee dik kok kunt shit puta".split()) <= english
    assert not english & set("sheet duck sock ball come pea bus but cup tub hat bed mat".split())


# --- core words


@pytest.mark.parametrize("language", LANGUAGES)
def test_core_words_can_be_said_and_say_what_they_do(language: str) -> None:
    rows = table(f"core_words_{language}")
    bank = {row["word"] for row in table(language)}
    assert [word for word, times in Counter(row["word"] for row in rows).items() if times > 1] == []
    for row in rows:
        if row["word"] != "<names>":
            assert (row["word"] in bank) != bool(row["ipa"]), f"{row['word']}: ipa just where the bank has none"
        if row["ipa"]:
            assert is_clean(row["ipa"], language) and not stress_faults(row["ipa"], language), row
        functions = row["function"].split(", ")
        assert set(functions) <= FUNCTIONS and len(functions) == len(set(functions)), row
        assert row["tier"] in {"1", "2", "3"} and row["source"] in CORE_SOURCES, row
    assert [row["tier"] for row in rows] == sorted(row["tier"] for row in rows)
    first = [row["function"].split(", ")[0] for row in rows if row["tier"] == "1"]
    assert {"request", "refuse", "comment", "greet", "call", "own"} <= set(first)


def test_the_words_of_the_study_are_those_it_is_cited_for() -> None:
    cited = {row["word"] for row in table("core_words_en") if "Banajee" in row["source"]}
    assert cited == set(BANAJEE)


# --- first names


def test_names_are_clean_and_once_a_language() -> None:
    rows = table("first_names")
    assert len(rows) >= 400
    assert [key for key, times in Counter((r["name"], r["language"]) for r in rows).items() if times > 1] == []
    for row in rows:
        assert is_clean(row["ipa"], row["language"]) and not stress_faults(row["ipa"], row["language"]), row
        assert row["source"] in {"CMU", "own", "spelling"}, row
        assert row["name"][0].isupper() and (row["source"] != "own" or row["note"]), row


def test_names_agree_with_their_source_just_where_they_say_so() -> None:
    for row in table("first_names"):
        name, ipa = row["name"], row["ipa"]
        if row["language"] == "en":
            readings = {reading.ipa() for reading in dictionary_readings(name.lower())}
            readings |= {
                r.ipa for r in pronunciations(name.lower()) if r.source in ("dictionary", "word list", "strong form")
            }
            in_dictionary = bool(entries(name.lower()))
            assert (row["source"] == "CMU") == (in_dictionary and ipa in readings), row
            assert in_dictionary != ("not in CMU" in row["note"]) or row["source"] == "CMU", row
        else:
            assert (row["source"] == "spelling") == (ipa == read_spanish(name)), row


def test_names_the_dictionary_has_wrong_are_set_right() -> None:
    """Judged by ear: a parent would not know the name otherwise."""
    said = {row["name"]: row["ipa"] for row in table("first_names") if row["language"] == "en"}
    wanted = {"Aiden": "ˈeɪdən", "Sadie": "ˈseɪdi", "Isla": "ˈaɪlə", "Greta": "ˈɡɹɛtə", "Nevaeh": "nəˈveɪə"}
    assert {name: said[name] for name in wanted} == wanted
    spanish = {row["name"]: row["ipa"] for row in table("first_names") if row["language"] == "es"}
    wanted = {"Jesús": "xeˈsus", "Guillermo": "ɡiˈʝeɾmo", "Ximena": "xiˈmena", "Erika": "ˈeɾika", "Raúl": "raˈul"}
    assert {name: spanish[name] for name in wanted} == wanted


# --- what is natural in a phrase


class Sense:
    """A slow reading of `sense_*.toml` by its head: the roles of a phrase, each a word of the bank."""

    def __init__(self, language: str) -> None:
        self.data: dict[str, Any] = read_toml(rules_path(f"phrases/sense_{language}.toml"))
        self.kinds: dict[str, Any] = {
            **read_toml(rules_path(f"phrases/kinds_{language}.toml")),
            **self.data["kind"],
        }
        rows = table(language)
        self.nouns = {row["word"]: row for row in rows if row["part_of_speech"] in ("noun", "name")}

    def members(self, names: str) -> set[str]:
        out: set[str] = set()
        for name in names.split():
            out |= self._members(name)
        return out

    @cache  # noqa: B019 - two instances live as long as the tests
    def _members(self, name: str) -> frozenset[str]:
        if name == "anything":
            return frozenset(self.nouns)
        if name not in self.kinds:
            return frozenset({name})
        kind = self.kinds[name]
        out = set(kind.get("words", "").split()) & set(self.nouns)
        out |= {
            w
            for w, row in self.nouns.items()
            if kind.get("names") and row["part_of_speech"] == "name" and row["category"] != "time"
        }
        out |= {
            w
            for w, row in self.nouns.items()
            if row["part_of_speech"] == "noun" and row["category"] in kind.get("categories", ())
        }
        for inner in kind.get("kinds", ()):
            out |= self._members(inner)
        return frozenset(out - set(kind.get("without", "").split()))

    def pair(self, rows: str, **roles: str) -> bool:
        return any(all(word in self.members(row[key]) for key, word in roles.items()) for row in self.data[rows])

    def event(self, action: str, agent: str = "", thing: str = "", place: str = "") -> bool:
        never = [{k: v for k, v in row.items() if k != "why"} for row in self.data["never"]]
        given = {"agent": agent, "object": thing, "place": place}
        if any(all(given[role] in self.members(words) for role, words in row.items()) for row in never):
            return False
        if thing and place and not self.pair("stays", what=thing, where=place):
            return False
        return any(
            (agent in self.members(row["who"]) if agent else row.get("ask"))
            and (thing in self.members(row.get("what", "")) if thing else row.get("alone"))
            and (not place or place in self.members(row.get("where", "")))
            for row in self.data["events"]
            if row["verb"] == action
        )  # fmt: skip


@cache
def sense(language: str) -> Sense:
    return Sense(language)


def spoken_of(language: str) -> set[str]:
    """Every noun some row of the file names."""
    s, out = sense(language), set()
    for rows in ("events", "owns", "stays", "has", "never"):
        for row in s.data[rows]:
            for key in set(row) & {"who", "what", "where", "agent", "object"}:
                out |= s.members(row[key])
    for section in ("said_with", "places", "describes"):
        for words in s.data[section].values():
            out |= s.members(words) if words != "anything" else set()
    return out


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_of_the_sense_file_is_a_kind_or_a_noun_of_the_bank(language: str) -> None:
    s, unknown = sense(language), []
    known = set(s.kinds) | set(s.nouns) | {"anything"}
    lists = [
        row[k]
        for rows in ("events", "owns", "stays", "has", "never")
        for row in s.data[rows]
        for k in set(row) & {"who", "what", "where", "agent", "object"}
    ]
    lists += [words for section in ("said_with", "places", "describes") for words in s.data[section].values()]
    lists += [s.data["counted"][key] for key in ("pairs", "another", "not_of")]
    lists += [kind.get("words", "") for kind in s.data["kind"].values()]
    unknown = sorted({word for words in lists for word in words.split()} - known)
    assert unknown == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_sense_file_covers_every_verb_noun_frame_and_describing_word(language: str) -> None:
    s = sense(language)
    verbs = {row["verb"] for row in table(f"verbs_{language}")}
    with_events, unused = {row["verb"] for row in s.data["events"]}, set(s.data["unused"].split())
    assert with_events | unused == verbs and not with_events & unused
    assert set(s.data["named_only"].split()) == set(s.nouns) - spoken_of(language)
    frames = read_toml(rules_path(f"phrases/frames_{language}.toml"))["frame"]
    assert set(s.data["said_with"]) == {frame["id"] for frame in frames}
    relations = read_toml(rules_path(f"phrases/relations_{language}.toml"))
    assert set(s.data["describes"]) == set(relations["attributes"])
    assert set(s.data["places"]) == set(relations["places"])
    ids = {relation["id"] for relation in relations["relation"]}
    assert set(s.data["said_as"]) <= ids
    assert {name for names in s.data["said_as"].values() for name in names.split()} <= set(s.data["said_with"])


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_event_can_be_said(language: str) -> None:
    """The verb table lets at least one doer, thing and place of each row stand with its verb."""
    from approx.practice.grammar.kinds import Referent, verbs

    s, dead = sense(language), []
    things = {word: Referent(word, row["part_of_speech"], row["category"]) for word, row in s.nouns.items()}
    for row in s.data["events"]:
        assert set(row) <= {"verb", "who", "what", "where", "alone", "ask"}, row
        verb = verbs(language)[row["verb"]]
        tests = {"who": verb.done_by, "what": verb.takes, "where": verb.preposition}
        for key, test in tests.items():
            for name in row.get(key, "").split():
                if not any(test(things[word]) for word in s.members(name)):
                    dead.append((row["verb"], key, name))
        if row.get("alone") and not verb.alone or not row.get("alone") and "what" not in row:
            dead.append((row["verb"], "alone", ""))
    assert dead == []


# Of the invented kitchen garden; each is a thing a child sees.
NATURAL = """Mama eat pie/Nana tie bow/Dee dip toe/May pat mud/Mama heat tea/Nana need hat/Bo tap tub/Dee wet mat/Tim bite bun/Bo get cup
Dee hug Nana/May tip bucket/Ben tug wagon/May poke egg/Papa pick fig/Tim shake jar/Addy water tomato/May sow seed"""
ODD = """man dip bean/Bo know Mimi/baby drive car/cat eat bean/hen want hat/baby eat nut/dog eat soap/Bo bite dog/Mama bake boot/man hug Bo
frog read book/Tim wash moon/Bo dip bean/Papa kick baby/cow drink milk"""


def test_phrases_judged_by_hand() -> None:
    s = sense("en")
    proper = {word.lower(): word for word in s.nouns}

    def natural(phrase: str) -> bool:
        agent, action, thing = (proper.get(word.lower(), word) for word in phrase.split())
        return s.event(action, agent, thing)

    wanted = dict.fromkeys(NATURAL.replace("\n", "/").split("/"), True)
    wanted |= dict.fromkeys(ODD.replace("\n", "/").split("/"), False)
    assert {phrase: natural(phrase) for phrase in wanted} == wanted
    assert not s.pair("stays", what="pea", where="pan") and s.pair("stays", what="pea", where="pot")
    assert s.event("put", thing="ball", place="box") and not s.event("put", thing="bee", place="bed")
    assert s.event("wash", thing="hand") and not s.event("lose", thing="hat")
    assert "pea" in s.members(s.data["said_with"]["more"]) and "pan" not in s.members(s.data["said_with"]["more"])
    assert not s.pair("owns", who="frog", what="hat") and s.pair("owns", who="mama", what="cup")


def test_spanish_phrases_judged_by_hand() -> None:
    s = sense("es")
    assert s.event("comer", "mamá", "pan") and s.event("lavar", "", "mano") and s.event("dormir", "gato")
    assert not s.event("comer", "gato", "pan") and not s.event("manejar", "bebé", "carro")
    assert not s.event("morder", "mamá", "perro") and not s.event("poner", "", "uva", "cuna")


@pytest.mark.parametrize("language", LANGUAGES)
def test_stuff_is_not_counted(language: str) -> None:
    """Nobody says "two juice": what is paired or counted again is no stuff and no plural."""
    nouns = read_toml(rules_path(f"phrases/nouns_{language}.toml"))
    s = sense(language)
    stuff = set(nouns["mass"].split()) | set(nouns["plural"].split())
    assert s.members(s.data["counted"]["pairs"]) & stuff == set()
    assert s.members(s.data["counted"]["another"]) & stuff == set()
