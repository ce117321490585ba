"""Words of our grammars that the CMU dictionary of pocketsphinx lacks, as ARPAbet phones.

Source of the phones: our own transcription, after the dictionary's entries for "ohm", "meg",
"micro" and "amp"; a test holds that no other word of any grammar is missing.
"""

EXTRA_PRONUNCIATIONS: dict[str, str] = {
    "amps": "AE M P S",
    "kilohm": "K IH L OW M",
    "kilohms": "K IH L OW M Z",
    "megohm": "M EH G OW M",
    "megohms": "M EH G OW M Z",
    "megs": "M EH G Z",
    "mics": "M AY K S",
    "farad": "F EH R AE D",
    "farads": "F EH R AE D Z",
    "microfarad": "M AY K R OW F EH R AE D",
    "microfarads": "M AY K R OW F EH R AE D Z",
    "pascals": "P AE S K AE L Z",
    "chatters": "CH AE T ER Z",
    "matted": "M AE T IH D",
    "wobbles": "W AA B AH L Z",
}
"""Word to phones, separated by spaces, in the phone set of the en-us model."""
