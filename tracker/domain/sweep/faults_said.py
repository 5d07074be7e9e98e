"""The words for what can be wrong with a recording: what happened, what to do, and whether anything can be read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a recording. fatal: nothing may be read out of it; else it is a warning."""

    code: str
    text: str
    remedy: str
    fatal: bool

    @property
    def line(self) -> str:
        """Both in one line."""
        return f"{self.text}; {self.remedy}"


_SAID: dict[str, tuple[str, str, str, bool]] = {
    # key: (code, what happened, what to do, fatal)
    "channels": ("channels", "the recording has {count} channels", "choose one", True),
    "not-finite": ("not-finite", "{count} samples are no numbers",
                   "save the recording again as 24-bit WAV or FLAC", True),
    "low-rate": ("low-rate", "a rate of {rate:.0f} Hz does not hold the sweep",
                 "record at 44100 or 48000 Hz", True),
    "empty": ("empty", "the recording is {seconds:.1f} s long",
              "record from before the first chirp to after the last", True),
    "silent": ("empty", "the recording is silent", "choose the input the microphone is on and record again", True),
    "coarse": ("too-noisy", "the recording is so faint that it is only {steps:.0f} steps of its resolution high",
               "turn the input up until its peaks reach -12 dB and record again, with 24 bits", True),
    "coarse-quiet": ("coarse", "the quiet after the sweep is fainter than one step of the recording's resolution, "
                     "which cuts decays short",
                     "record with 16 or 24 bits, the input turned up and noise suppression off", True),
    "twice": ("not-this-sweep", "the sweep is in the recording more than once",
              "cut it to one of them, from before its first chirp to after its last", True),
    "not-this-sweep": ("not-this-sweep", "this sweep is not in the recording",
                       "record the file that `sweep write` wrote, or name the settings it was written with", True),
    "other-sweep": ("not-this-sweep", "the recording holds another sweep, one that rises {ratio:.3g} times as fast: "
                    "another file was played, or the header names a wrong rate",
                    "play the file that `sweep write` wrote, and export at the rate it was recorded at", True),
    "wrong-rate": ("wrong-rate", "the header says {rate:.0f} Hz, and the sweep runs as if it were {true:.0f} Hz: the "
                   "header names a wrong rate, or a sweep of another length was played",
                   "export again at the rate it was recorded at, or play the file that `sweep write` wrote", True),
    "stretched": ("wrong-rate", "the sweep is {ppm:+.0f} ppm off its length, more than a clock is: the file was "
                  "stretched or its rate converted, or another sweep was played",
                  "hand in the recording as it came from the recorder", True),
    "too-noisy": ("too-noisy", "the sweep is hardly louder than the noise",
                  "play it louder or move closer, in a quieter hour", True),
    "unheard": ("too-noisy", "nothing but even noise can be heard",
                "choose the input the microphone is on, play the sweep louder and record again", True),
    "stimulus": ("stimulus", "there is no room in this recording: it is the sweep's own file, or a cable",
                 "play it through the loudspeaker and record it with the microphone", True),
    "cut-short-start": ("cut-short", "the recording begins {seconds:.1f} s after the sweep does",
                        "start recording before you start playing", True),
    "cut-short-end": ("cut-short", "the recording ends {seconds:.1f} s before the sweep does",
                      "record until after the last chirp", True),
    "cut-short-first": ("cut-short", "the recording begins after the first chirp",
                        "start recording before you start playing", True),
    "cut-short-tail": ("cut-short", "the recording ends {seconds:.1f} s after the sweep, before the last chirp",
                       "record until after the last chirp", True),
    "no-markers": ("no-markers", "the sweep is there, but the chirps before and after it are not",
                   "play the whole file that `sweep write` wrote, in one go", True),
    "clipped": ("clipped", "the recording is clipped ({share:.2g} % of its samples are cut off)",
                "turn the input down until its peaks stay under -6 dB and record again", True),
    "clipped-lightly": ("clipped", "a few peaks of the recording are clipped",
                        "turn the input down a little next time", False),
    "clipped-before": ("clipped", "the sweep was cut off before it was recorded, in the microphone, its amplifier or "
                       "the loudspeaker", "turn down what is overdriven and record again", True),
    "dropout": ("dropouts", "{ms:.1f} ms of the recording are missing at {at:.2f} s",
                "close other programs and record again if the figures are close", False),
    "dropouts": ("dropouts", "the recording has {count} gaps, the first at {at:.2f} s",
                 "close other programs, take a larger buffer and record again", True),
    "dropouts-skipped": ("dropouts", "a part of the sweep is missing, without a gap to show for it",
                         "close other programs, take a larger buffer and record again", True),
    "automatic-gain": ("automatic-gain", "the recorder changed its gain by {db:.1f} dB on the way",
                       "turn off automatic gain, limiter and noise suppression and record again", True),
    "transient": ("transient", "something else was heard at {at:.1f} s, such as a cough or a door ({bands})",
                  "record again, and leave the room quiet until after the last chirp", True),
    "transient-faint": ("transient", "something faint was heard at {at:.1f} s ({bands})",
                        "record again if the figures are close", False),
}


def fault(key: str, **figures: float | str) -> Fault:
    """The fault of this key with its figures put in; several keys may share a code."""
    code, text, remedy, fatal = _SAID[key]
    return Fault(code, text.format(**figures), remedy, fatal)
