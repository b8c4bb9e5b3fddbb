"""Thirty varied invented children, from almost nothing to nearly adult, as tables like those of a child's file.

No real child stands behind any of them. Each row: initial, medial and final consonants ("=" repeats the one before),
clusters, vowels, shapes, longest word in syllables, variety. Emerging sounds of a few stand in `EMERGING`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

ALL = "p b t d k ɡ f v θ ð s z ʃ ʒ t͡ʃ d͡ʒ m n ŋ l ɹ w j h"
VOWELS = "i ɪ ɛ æ ɑ ɔ ʌ ə u ʊ ɝ ɚ oʊ eɪ aɪ aʊ ɔɪ"
PLAIN = "i ɪ ɛ æ ɑ ɔ ʌ ə u ʊ oʊ eɪ aɪ aʊ ɔɪ"
SPANISH = "p b t d k ɡ f s x t͡ʃ ʝ m n ɲ l ɾ r w j"
MANY = (
    "sp,st,sk,sm,sn,sw,sl,pl,pɹ,bl,bɹ,tɹ,dɹ,kl,kɹ,kw,ɡl,ɡɹ,fl,fɹ,θɹ,ʃɹ,spl,spɹ,stɹ,skɹ,skw,tw,nd,nt,mp,ŋk,nz,nt͡ʃ,nd͡ʒ,"
    "ts,ks,ps,st,sk,sp,lz,ld,lt,lk,lp,lf,lm,ft,kt,pt,ɹd,ɹt,ɹk,ɹm,ɹn,ɹs,ɹz,ɹɡ,ɹf,ɹt͡ʃ,ɹl,dz,vz,mz,ɡz,fj,kj,mj,bj,hj,pj"
)
SHAPES = "V CV VC CVC CCV CCVC CVCC VCC CCVCC CCCV CCCVC CCCVCC CVCCC"


class Invented(NamedTuple):
    """One child in one line; `=` in a field of consonants repeats the field before it."""

    initial: str
    medial: str
    final: str
    clusters: str
    vowels: str
    shapes: str
    most: int
    variety: str = "any"
    language: str = "en-US"


CHILDREN: dict[str, Invented] = {
    "empty": Invented("", "", "", "", "", "", 1),
    "one vowel": Invented("", "", "", "", "ɑ", "V", 1),
    "m and a vowel": Invented("m", "=", "", "", "ɑ", "V CV", 2),
    "no consonant": Invented("", "", "", "", "i ɑ u oʊ aɪ", "V", 2),
    "repeats": Invented("m b p n d w", "=", "", "", "i ɑ ʌ u oʊ", "CV", 2, "same"),
    "one consonant a word": Invented("m b p t d n k ɡ", "=", "=", "", PLAIN, "V CV CVC", 2, "same consonant"),
    "scene level A": Invented("b m n d w h", "=", "", "", PLAIN, "V CV", 2),
    "open syllables": Invented("m b p t d n h w k ɡ", "=", "", "", PLAIN, "V CV", 3),
    "only finals": Invented("", "", "p t k m n s", "", "i ɪ æ ɑ ʌ ə oʊ", "V VC", 2),
    "closed only": Invented("p b m t d", "=", "=", "", PLAIN, "CVC", 1),
    "one vowel closed": Invented("m b p t d n h w k s f", "=", "=", "", "ʌ", "V CV VC CVC", 4),
    "labials": Invented("p b m w f", "=", "p m", "", PLAIN, "V CV VC CVC", 2),
    "alveolars": Invented("t d n s", "=", "=", "", PLAIN, "V CV VC CVC", 2),
    "velars": Invented("k ɡ h", "k ɡ ŋ", "k ŋ", "", PLAIN, "V CV VC CVC", 3),
    "stops": Invented("p b t d k ɡ m n", "=", "p t k m n ŋ", "", PLAIN, "V CV VC CVC", 2),
    "no nasals": Invented("p b t d k ɡ f s h w j l", "=", "p t k f s", "", PLAIN, "V CV VC CVC", 3),
    "fricatives": Invented("f s ʃ h m n w", "=", "f s ʃ m n", "", PLAIN, "V CV VC CVC", 2),
    "fronts and stops": Invented("p b t d m n w h", "=", "p b t d m n", "", PLAIN, "V CV VC CVC", 2),
    "few vowels": Invented("p b t d k ɡ m n w h j", "=", "p t k m n", "", "i ɑ u", "V CV VC CVC", 3),
    "no short words": Invented("p b t d m n l", "=", "n", "", PLAIN, "CV CVC", 4),
    "monosyllables": Invented("p b t d k ɡ f s m n l w h j", "=", "p t k f s m n l", "", PLAIN, "V CV VC CVC", 1),
    "final clusters": Invented("p b t d k m n w h", "=", "p t d k m n ŋ", "nt final,nd final,mp final,ŋk final", PLAIN, "V CV VC CVC CVCC VCC", 2),
    "s clusters": Invented("p b t d k s m n w h", "=", "p t k s m n", "sp initial,st initial,sk initial,sm initial,sn initial", PLAIN, "V CV VC CVC CCV CCVC", 3),
    "kw tw": Invented("p b t d k ɡ f m n w j h v", "=", "p t k m n ŋ f", "kw initial,tw initial,nt final", PLAIN, "V CV VC CVC CCV CCVC CVCC", 3),
    "no liquids": Invented("p b t d k ɡ f v s z ʃ t͡ʃ d͡ʒ m n w j h", "p b t d k ɡ f v s z ʃ t͡ʃ d͡ʒ m n ŋ w j h", "p b t d k ɡ f v s z ʃ t͡ʃ d͡ʒ m n ŋ", "st,sp,nt,nd,mp", PLAIN, SHAPES, 4),
    "no th no r": Invented("p b t d k ɡ f v s z ʃ t͡ʃ d͡ʒ m n l w j h", "=", "p b t d k ɡ f v s z ʃ t͡ʃ d͡ʒ m n ŋ l", "sp,st,sk,sm,sn,sl,pl,bl,kl,ɡl,fl,nt,nd,mp,ŋk,ts,ks", PLAIN, SHAPES, 5),
    "nearly adult": Invented(ALL.replace(" θ ð", ""), "=", "=", MANY, VOWELS, SHAPES, 6),
    "Spanish small": Invented("p b t d k m n", "=", "", "", "a e i o u", "V CV", 2, "any", "es-MX"),
    "Spanish closed": Invented("p b t d k ɡ f s m n l", "=", "n s l", "", "a e i o u ai ei", "V CV CVC VC", 3, "any", "es-MX"),
    "Spanish nearly adult": Invented(SPANISH, "=", "n s l ɾ d", "pl,pɾ,bl,bɾ,tɾ,dɾ,kl,kɾ,ɡl,ɡɾ,fl,fɾ,pw,bw,kw,ɡw,pj,bj,tj,dj,kj,sj", "a e i o u ai ei oi au eu", "V CV CVC VC CCV CCVC", 5, "any", "es-MX"),
}  # fmt: skip

EMERGING: dict[str, tuple[str, str]] = {
    "scene level A": ("p ɡ", "CVC"),
    "fronts and stops": ("k f", "CCVC"),
    "Spanish small": ("l", "CVC"),
}
"""Consonants (anywhere) and a shape that are only emerging."""


def table(name: str) -> dict[str, Any]:
    """The child's file as a table, as `tomllib` would read it."""
    child = CHILDREN[name]
    soft, shape = EMERGING.get(name, ("", ""))
    places: dict[str, Any] = {}
    before = ""
    for place, typed in (("initial", child.initial), ("medial", child.medial), ("final", child.final)):
        before = before if typed == "=" else typed
        new = " ".join(sound for sound in soft.split() if sound not in before.split())
        places[place] = {"established": before, "emerging": new}
    code = f"P{list(CHILDREN).index(name) + 1:02}"
    clusters = [entry for entry in child.clusters.split(",") if entry]
    syllables: dict[str, Any] = {
        "established": child.shapes.split(),
        "max_syllables": child.most,
        "variety": child.variety,
    }
    if shape:
        syllables["emerging"] = [shape]
    return {
        "code": code,
        "language": child.language,
        "consonants": {**places, "clusters": list(dict.fromkeys(clusters))},
        "vowels": {"established": child.vowels},
        "syllables": syllables,
    }
