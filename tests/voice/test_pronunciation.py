# ruff: noqa: RUF001 - phonemes are written in the phonetic alphabet
"""The voice reads the trade's words as the trade says them.

Expected phonemes are common practice, no source: General American as dictionaries give it, in the
library's own IPA. The library itself is asked, so that a new edition that reads otherwise is seen.
"""

import ctypes

import pytest

from assistant.voice.espeak import find_packaged
from assistant.voice.pronunciation import RESPELLINGS, respell

IPA = 2
UTF8 = 1
RETRIEVAL = 1
DO_NOT_EXIT = 0x8000


@pytest.fixture(scope="module")
def speech() -> ctypes.CDLL:
    """Load the packaged library for itself, in American English."""
    path, data = find_packaged()
    library = ctypes.CDLL(str(path), ctypes.RTLD_LOCAL)
    library.espeak_Initialize(RETRIEVAL, 0, str(data).encode(), DO_NOT_EXIT)
    library.espeak_SetVoiceByName(b"gmw/en-US")
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    return library


def read(library: ctypes.CDLL, text: str) -> str:
    """Give the phonemes of one clause."""
    rest = ctypes.c_char_p(text.encode())
    answer = library.espeak_TextToPhonemes(ctypes.byref(rest), UTF8, IPA)
    assert isinstance(answer, bytes)
    return answer.decode()


SAID = [
    ("Put one probe on the capacitor lead", "lˈiːd"),
    ("zero the test leads", "lˈiːdz"),
    ("never ohms on a live circuit", "lˈaɪv"),
    ("the low tap", "tˈæp"),
    ("O L", "ˈoʊ ˈɛl"),
    ("OL", "ˈoʊ ˈɛl"),
    ("P S C motor", "pˈiː ˈɛs sˈiː"),
    ("seventeen point five ohms", "ˈoʊmz"),
    ("five megohms", "mˈɛɡoʊmz"),
    ("two kilohms", "kˈɪloʊmz"),
    ("fifteen point zero five microfarads", "mˈaɪkɹoʊfˌæɹædz"),
    ("half an inch of water column", "wˈɔːɾɚ kˈɑːlʌm"),
    ("What does the meter read", "ɹˈiːd"),
    ("Read the nameplate", "ɹˈiːd"),
    ("the label has been read", "ɹˈɛd"),
    ("the winding is wound", "wˈaʊnd"),
    ("wound with copper", "wˈaʊnd"),
    ("a tear in the insulation", "tˈɛɹ"),
    ("Close the disconnect", "klˈoʊz"),
    ("the disconnect is close to the unit", "klˈoʊs"),
    ("Record the reading", "ɹᵻkˈɔːɹd"),
    ("it is in the record", "ɹˈɛkɚd"),
    ("Separate the leads", "sˈɛpɚɹˌeɪt"),
    ("a separate lead", "sˈɛpɹət"),
    ("Use the meter", "jˈuːz"),
    ("two hundred forty volts a c", "ˌeɪsˈiː"),
    ("the auxiliary winding", "ɔːɡzˈɪliəɹi"),
    ("F L A", "ˈɛf ˈɛl ˈeɪ"),
    ("FLA", "ˈɛf ˈɛl ˈeɪ"),
    ("N F P A seventy E", "ˌɛnˌɛfpˌiːˈeɪ"),
    ("C A T three", "kˈæt"),
    ("bleed the capacitor", "blˈiːd ðə kəpˈæsɪɾɚ"),
]


@pytest.mark.parametrize(("text", "phonemes"), SAID)
def test_trade_words_are_read_as_said(speech: ctypes.CDLL, text: str, phonemes: str) -> None:
    """Each phrase has the trade's own sound in it."""
    assert phonemes in read(speech, respell(text))


MISREAD = {
    "OL": "OL",
    "volts a c": "two hundred forty volts a c",
    "a c power": "the A C power",
    "N F P A": "N F P A seventy",
    "C A T": "C A T three",
    "F A N": "F A N",
    "FLA": "FLA",
    "close": "Close the disconnect",
    "record": "Record the reading",
    "separate": "Separate the leads",
    "use": "Use the meter",
    "read": "it has been read",
    "wound": "wound with copper",
    "tear": "a tear",
    "kilohm": "two kilohms",
    "auxiliary": "auxiliary",
}


@pytest.mark.parametrize("text", MISREAD.values(), ids=MISREAD)
def test_no_respelling_is_idle(speech: ctypes.CDLL, text: str) -> None:
    """Each respelling changes what the library says; one that does not should go."""
    assert read(speech, text) != read(speech, respell(text))
    assert len(RESPELLINGS) == len(MISREAD)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Fifteen or seventy volts.",
        "fourteenth",
        "a close look",
        "the record shows",
        "user",
        "a C terminal",
    ],
)
def test_other_words_are_left_alone(text: str) -> None:
    """What is read rightly is not touched."""
    assert text == respell(text)
