"""An independent reader and writer of MIDI files, for the tests of proxy/formats/smf.

mido_check.py dump FILE...    reads the files and prints what is in them
mido_check.py places FILE...  reads the files by position: what plays on which port, and what stands before it
mido_check.py write FOLDER    writes files and prints what they should hold

Both print one JSON object: file name to contents. It needs mido, which Debian
has as python3-mido.
"""

import json
import os
import sys

import mido


def wire(msg):
    """The message in hexadecimal: a meta event without its length."""
    b = bytes(msg.bytes())
    if msg.is_meta:
        i = 2
        while b[i] & 0x80:
            i += 1
        b = b[:2] + b[i + 1:]
    return b.hex().upper()


def contents(midi):
    tracks, notes, tempos = [], [], []
    for number, track in enumerate(midi.tracks):
        tick, events, sounding = 0, [], {}
        for msg in track:
            tick += msg.time
            if msg.type == "end_of_track":
                break
            events.append([tick, wire(msg)])
            if msg.type == "set_tempo":
                tempos.append([number, tick, msg.tempo])
            elif msg.type == "note_on" and msg.velocity > 0:
                sounding.setdefault((msg.channel, msg.note), []).append((tick, msg.velocity))
            elif msg.type in ("note_on", "note_off"):
                on = sounding.get((msg.channel, msg.note))
                if on:
                    start, velocity = on.pop(0)
                    notes.append([number, msg.channel, msg.note, velocity, start, tick])
        tracks.append({"events": events, "end": tick})
    result = {
        "format": midi.type,
        "division": midi.ticks_per_beat,  # negative in SMPTE time
        "tracks": tracks,
        "notes": notes,
        "tempos": tempos,
        "seconds": None,
    }
    unknown = any(m.type == "unknown_meta" for t in midi.tracks for m in t)
    if midi.type < 2 and midi.ticks_per_beat > 0 and not unknown:
        result["seconds"] = midi.length
    return result


def score():
    """Three tracks that use all kinds of messages."""
    midi = mido.MidiFile(type=1, ticks_per_beat=480)
    meta, msg = mido.MetaMessage, mido.Message
    midi.tracks.append(mido.MidiTrack([
        meta("track_name", name="Prelude", time=0),
        meta("copyright", text="nobody", time=0),
        meta("smpte_offset", frame_rate=25, hours=1, time=0),
        meta("time_signature", numerator=6, denominator=8, time=0),
        meta("key_signature", key="F#m", time=0),
        meta("set_tempo", tempo=333333, time=0),
        meta("set_tempo", tempo=777777, time=1001),
        meta("marker", text="letter A", time=1),
        meta("set_tempo", tempo=16777215, time=5000),
        meta("end_of_track", time=100),
    ]))
    notes = [
        meta("track_name", name="Fl\u00f6te", time=0),
        meta("instrument_name", name="Flute", time=0),
        meta("device_name", name="one", time=0),
        meta("midi_port", port=3, time=0),
        meta("channel_prefix", channel=2, time=0),
        meta("sequencer_specific", data=(0, 1, 2), time=0),
        msg("program_change", channel=2, program=73, time=0),
        msg("sysex", data=range(128), time=0),
        msg("control_change", channel=2, control=7, value=100, time=0),
        msg("pitchwheel", channel=2, pitch=-8192, time=0),
        msg("aftertouch", channel=2, value=5, time=7),
        msg("polytouch", channel=2, note=60, value=9, time=0),
    ]
    for i in range(300):
        notes.append(msg("note_on", channel=2, note=40 + i % 50, velocity=1 + i % 127, time=i))
        notes.append(msg("note_on", channel=2, note=40 + i % 50, velocity=0, time=20000 * (i % 2)))
    notes.append(meta("lyrics", text="la", time=3))
    notes.append(msg("note_off", channel=2, note=40, velocity=64, time=2097152))
    notes.append(meta("end_of_track", time=0))
    midi.tracks.append(mido.MidiTrack(notes))
    midi.tracks.append(mido.MidiTrack([meta("end_of_track", time=12345)]))
    return midi


def single(kind, division):
    midi = mido.MidiFile(type=kind, ticks_per_beat=division)
    midi.tracks.append(mido.MidiTrack([
        mido.Message("note_on", note=60, velocity=64, time=0),
        mido.Message("note_off", note=60, velocity=64, time=96),
        mido.MetaMessage("end_of_track", time=0),
    ]))
    return midi


def write(folder):
    files = {
        "score.mid": score(),
        "format0.mid": single(0, 96),
        "format2.mid": single(2, 32767),
        "smpte.mid": single(1, -25 * 256 + 40),
    }
    for name, midi in files.items():
        midi.save(os.path.join(folder, name))
    return {name: contents(midi) for name, midi in files.items()}


def dump(paths):
    return {os.path.basename(p): contents(mido.MidiFile(p)) for p in paths}


# What a track says of itself, which belongs before all that it plays.
ABOUT = ("sequence_number", "track_name", "instrument_name", "midi_port", "device_name", "channel_prefix")


def places(midi):
    """Each track read from its beginning: who plays where, and what came before it."""
    tracks = []
    for track in midi.tracks:
        port, device, prefix, tick = 0, "", None, 0
        playing, late, plays, abouts = False, [], {}, []
        for msg in track:
            tick += msg.time
            if msg.type == "midi_port":
                port = msg.port
            elif msg.type == "device_name":
                device = msg.name
            elif msg.type == "channel_prefix":
                prefix = msg.channel
            elif msg.is_meta and prefix is not None:
                abouts.append([tick, prefix, msg.type])
            if msg.type in ABOUT and playing and tick == 0:
                late.append(msg.type)
            if not msg.is_meta:
                prefix = None
                playing = True
                if msg.type != "sysex":
                    where = "%d %s %d %s" % (port, device, msg.channel, msg.type)
                    plays[where] = plays.get(where, 0) + 1
        tracks.append({"name": track.name, "late": late, "plays": plays, "about": abouts})
    return tracks


def at_places(paths):
    return {os.path.basename(p): places(mido.MidiFile(p)) for p in paths}


if __name__ == "__main__":
    command, args = sys.argv[1], sys.argv[2:]
    if command == "write":
        result = write(args[0])
    else:
        result = {"dump": dump, "places": at_places}[command](args)
    json.dump(result, sys.stdout)
