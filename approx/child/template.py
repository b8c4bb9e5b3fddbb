"""A commented `child.toml` to start from."""

TEMPLATE = """\
# What one child can say today. Text after # is a remark. Sounds are IPA, set apart by blanks.
code     = "{code}"          # a code of your own, never a name
age      = "3;0"          # years;months
language = "{language}"        # language tag (BCP 47)
languages = []            # other languages of this child, such as ["es-MX"]
interests = []            # words and categories this child loves, such as ["truck", "animals"]
accent   = []             # rule files in rules/accents/ whose forms count as right

[consonants]              # status by position: established, emerging, absent or untested
all.established     = "{consonants}"   # "all" fills the positions that have no line of their own
all.emerging        = ""
final.established   = ""                # initial, medial and final can be named
clusters            = []                # such as ["sp initial", "nd final"]

[vowels]
established = "{vowels}"
emerging    = ""

[syllables]
established   = ["V", "CV"]             # C consonant, V vowel or diphthong: "VC", "CVC", "CCV", ...
emerging      = []
max_syllables = 2
variety       = "any"     # "same" (mama), "same consonant" (mommy, baby) or "any"

[chosen]                  # your own decisions; they win over every suggestion
# spoon = "pun"

[heard]                   # what this child was heard to say for a word; the date may be left away
# soup = {{ form = "tup", date = 2026-03-02 }}

[changes]                 # what this child says for a sound, commonest first; ∅ where it is left off
# "s initial" = "h t"     # initial, medial, final; without a position: everywhere

[readings]                # how this family says a word, where it is not the first reading
# read = "ɹid"

[people]                  # who is in this child's life, and what each is called by: she, he or they
# Bo = "they"
"""


_FIRST_SOUNDS = {"en": ("m b p n d h w", "i ɪ ɛ æ ɑ ɔ ʌ ə u oʊ eɪ aɪ"), "": ("m b p n d t", "i e a o u")}
"""Consonants and vowels a template lists, to be changed: by language, "" for every other (common practice, no source)."""


def template(code: str = "X01", language: str = "en-US") -> str:
    """The text of a new child file; it reads without a problem as it stands."""
    consonants, vowels = _FIRST_SOUNDS.get(language[:2].lower(), _FIRST_SOUNDS[""])
    return TEMPLATE.format(code=code, language=language, consonants=consonants, vowels=vowels)
