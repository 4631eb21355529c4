"""The loudness of a MIDI file's instruments, computed without swellbox.

loudness.py FILE

Prints a JSON list: for each tick at which notes start, the level in dB of each
track that sounds then. A note is as loud as its velocity v, its expression e
(controller 11) and its volume say by 40*log10(x/127) each, the recommended
response of General MIDI 2 and DLS; the notes of a track that sound together add up as
powers, as those of different players do. It needs mido, which Debian has as
python3-mido.
"""

import json
import math
import sys

import mido


def decibels(value):
    return 40 * math.log10(value / 127)


def total(levels):
    """The level of incoherent sounds together."""
    return 10 * math.log10(sum(10 ** (level / 10) for level in levels))


def starts(track):
    """Tick to level, at each tick at which the track starts a note."""
    tick, expression, volume, sounding, levels = 0, 127, 127, {}, {}
    for message in track:
        tick += message.time
        if message.type == "control_change" and message.control == 11:
            expression = message.value
        elif message.type == "control_change" and message.control == 7:
            volume = message.value
        elif message.type == "note_on" and message.velocity > 0:
            sounding[message.note] = message.velocity
            levels[tick] = total(decibels(v) + decibels(expression) + decibels(volume) for v in sounding.values())
        elif message.type in ("note_on", "note_off"):
            sounding.pop(message.note, None)
    return levels


def main(path):
    by_tick = {}
    for track in mido.MidiFile(path).tracks:
        for tick, level in starts(track).items():
            by_tick.setdefault(tick, {})[track.name] = level
    json.dump([{"tick": tick, "levels": levels} for tick, levels in sorted(by_tick.items())], sys.stdout)


main(sys.argv[1])
