"""Faults that were put into synthetic tracks at known places: how many are found, and what is found besides.

Tracks: sustained chords, organ notes, plucked notes that decay, drums, bursts of noise, gated notes, bass,
all over hiss at -66 dBFS. Dropouts are put only where the sound goes on alike for 0.25 s on both sides.
"""

import numpy as np
import pytest

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE, SECONDS = 48000, 40
FRAMES = RATE * SECONDS


def notes(rng, shortest, longest, make):
    """Notes one after another: `make(hertz, times)` gives each."""
    sound, at = np.zeros(FRAMES), 0
    while at < FRAMES:
        length = min(FRAMES - at, int(RATE * rng.uniform(shortest, longest)))
        times = np.arange(length) / RATE
        sound[at : at + length] = make(110 * 2 ** (rng.integers(0, 24) / 12), times)
        at += length
    return sound


def partials(hertz, times):
    return sum(np.sin(2 * np.pi * hertz * k * times) / k for k in (1, 2, 3))


def sustained(rng):
    times = np.arange(FRAMES) / RATE
    root = rng.uniform(110, 220)
    sound = np.zeros(FRAMES)
    for ratio in (1, 1.26, 1.5):
        sway = 1 + 0.002 * np.sin(2 * np.pi * 5 * times + rng.uniform(0, 6))
        phase = 2 * np.pi * np.cumsum(root * ratio * sway) / RATE
        sound += sum(np.sin(k * phase) / k for k in (1, 2, 3))
    return 0.06 * sound


def struck(decay):
    """A note that decays so fast a second."""
    return lambda hertz, times: 0.15 * partials(hertz, times) * np.exp(-decay * times)


def hit(rng):
    return lambda hertz, times: 0.2 * rng.standard_normal(len(times)) * np.exp(-30 * times)


def burst(rng):
    return lambda hertz, times: 0.1 * rng.standard_normal(len(times)) * (times < 0.6 * times[-1])


def gate(rng):
    return lambda hertz, times: 0.15 * partials(hertz, times + rng.random()) * (times < 0.6 * times[-1])


TRACKS = {
    "chord": sustained,
    "noise": lambda rng: 0.05 * rng.standard_normal(FRAMES),
    "chord again": sustained,
    "plucked": lambda rng: notes(rng, 0.15, 0.7, struck(5)),
    "drums": lambda rng: notes(rng, 0.2, 0.5, hit(rng)),
    "bursts": lambda rng: notes(rng, 0.3, 1.2, burst(rng)),
    "gated": lambda rng: notes(rng, 0.3, 1.0, gate(rng)),
    "low": lambda rng: notes(rng, 0.4, 1.5, lambda hertz, times: struck(2)(hertz / 2, times)),
}
SUSTAINED = (0, 1, 2)


@pytest.fixture(scope="module")
def clean():
    rng = np.random.default_rng(7)
    sound = np.stack([make(rng) for make in TRACKS.values()], axis=1)
    return np.clip(sound + 10 ** (-66 / 20) * rng.standard_normal(sound.shape), -0.95, 0.95)


def found_in(path):
    """All findings but notes that are right: a gate that shuts does click, a track of noise hisses."""
    findings = check_capture(ReelFacts("R"), StudioFacts(), [path]).findings
    noise = list(TRACKS).index("noise") + 1
    return [one for one in findings if one.kind != "click" and (one.kind, one.track) != ("hiss", noise)]


def test_clean_tracks_give_no_more_than_one_finding_a_channel_hour(clean, wav):
    findings = found_in(wav("clean.wav", clean))
    assert len(findings) <= len(TRACKS) * SECONDS / 3600 + 0.5, [one.says for one in findings]


def seed(sound, rng):
    """Put the faults in; gives (kind, track, start, end) of each."""
    truth = []
    for channel in range(sound.shape[1]):
        for place in np.arange(2.0, SECONDS - 2, 3.0):
            start = int((place + rng.uniform(0, 1)) * RATE)
            kind = ("dropout", "zero run", "repeat", "clipping")[len(truth) % 4]
            if (kind == "dropout" and channel not in SUSTAINED) or _level(sound, start, channel) < -40:
                kind = "clipping"
            length = _put(sound[:, channel], kind, start, rng)
            truth.append((kind, channel + 1, start / RATE, (start + length) / RATE))
    return truth


def _level(sound, start, channel):
    sides = sound[start - 2400 : start, channel], sound[start + 2400 : start + 4800, channel]
    return min(20 * np.log10(np.sqrt(np.mean(side**2)) + 1e-9) for side in sides)


def _put(track, kind, start, rng):
    if kind == "dropout":
        length = int(RATE * rng.choice([0.008, 0.02, 0.05, 0.12]))
        gain = np.full(length, 10 ** (-rng.uniform(18, 40) / 20))
        gain[:48], gain[-48:] = np.linspace(1, gain[0], 48), np.linspace(gain[0], 1, 48)
        track[start : start + length] *= gain
    elif kind == "zero run":
        length = int(RATE * rng.choice([0.0025, 0.005, 0.02]))
        track[start : start + length] = 0
    elif kind == "repeat":
        length = int(rng.choice([256, 480, 512, 1024, 2048]))
        track[start : start + length] = track[start - length : start].copy()
    else:
        length = int(rng.integers(3, 12))
        track[start : start + length] = 1.0
    return length


def test_seeded_faults_are_found_at_their_places(clean, wav):
    sound = clean.copy()
    truth = seed(sound, np.random.default_rng(8))
    findings = found_in(wav("seeded.wav", sound))

    def meets(one, fault):
        return one.track == fault[1] and one.start < fault[3] + 0.01 and one.end > fault[2] - 0.01

    for kind, least in (("clipping", 1.0), ("repeat", 0.97), ("zero run", 0.95), ("dropout", 0.85)):
        faults = [fault for fault in truth if fault[0] == kind]
        hit = [fault for fault in faults if any(one.kind == kind and meets(one, fault) for one in findings)]
        assert len(faults) >= 6 and len(hit) >= least * len(faults), (kind, set(faults) - set(hit))
    false = [one for one in findings if not any(meets(one, fault) for fault in truth)]
    assert len(false) <= 1, [one.says for one in false]
