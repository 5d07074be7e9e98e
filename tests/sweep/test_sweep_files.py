"""Sound files: what is written is read back, what cannot be measured from is refused with what to do."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest
import soundfile

from tracker.domain.errors import Refused
from tracker.domain.sweep.signal import Settings, sweep_signal
from tracker.services.sweep_files import read_recording, sha256_of, signal_settings, write_signal

SHORT = Settings(seconds=2.0, tail_s=0.5, lead_s=0.1, end_s=0.3)


@pytest.fixture
def stereo():
    return 0.1 * np.random.default_rng(0).standard_normal((4800, 2))


def test_the_sweep_carries_its_settings(tmp_path):
    path = tmp_path / "sweep.wav"
    checksum = write_signal(path, SHORT)
    assert signal_settings(path) == SHORT and checksum == hashlib.sha256(path.read_bytes()).hexdigest()
    assert b"ICMT" in path.read_bytes()[:400], "in the file's own comment, RIFF INFO as the WAV format has it"
    found = read_recording(path)
    assert (found.rate_hz, found.channels, found.depth) == (48_000, 1, "PCM_24")
    assert np.max(np.abs(found.samples - sweep_signal(SHORT))) <= 2.0**-24 + 1e-12
    assert [one.name for one in tmp_path.iterdir()] == ["sweep.wav"]


def test_nothing_is_replaced_unless_told(tmp_path):
    path = tmp_path / "sweep.wav"
    write_signal(path, SHORT)
    with pytest.raises(Refused, match="already"):
        write_signal(path, Settings(seconds=3.0))
    assert signal_settings(path) == SHORT
    write_signal(path, Settings(seconds=3.0), force=True)
    assert signal_settings(path) == Settings(seconds=3.0)


@pytest.mark.parametrize(("name", "says"), [("sweep.mp3", "WAV"), ("no/sweep.wav", "no folder")])
def test_where_it_cannot_be_written(tmp_path, name, says):
    with pytest.raises(Refused, match=says):
        write_signal(tmp_path / name, SHORT)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(("kind", "depth", "rate"), [
    ("WAV", "PCM_16", 44_100), ("WAV", "PCM_24", 96_000), ("WAV", "FLOAT", 48_000), ("WAV", "PCM_32", 192_000),
    ("FLAC", "PCM_16", 48_000), ("FLAC", "PCM_24", 88_200), ("AIFF", "PCM_24", 44_100), ("RF64", "PCM_24", 48_000)])
def test_every_rate_and_depth(tmp_path, stereo, kind, depth, rate):
    path = tmp_path / "recording.dat"  # its name says nothing
    soundfile.write(path, stereo, rate, subtype=depth, format=kind)
    found = read_recording(path, channel=2)
    assert (found.rate_hz, found.depth, found.channel, found.channels) == (rate, depth, 2, 2)
    assert np.max(np.abs(found.samples - stereo[:, 1])) < 2.0**-15
    assert found.sha256 == sha256_of(path) and found.length_s == pytest.approx(4800 / rate)


def test_channels_that_differ_must_be_chosen(tmp_path, stereo):
    path = tmp_path / "two.wav"
    soundfile.write(path, stereo, 48_000)
    with pytest.raises(Refused, match="--channel 1 or 2"):
        read_recording(path)
    with pytest.raises(Refused, match="no channel 3; choose 1 to 2"):
        read_recording(path, channel=3)


def test_channels_alike_or_dead_need_no_choice(tmp_path, stereo):
    alike, dead = stereo.copy(), stereo.copy()
    alike[:, 1], dead[:, 0] = alike[:, 0], 0.0
    for samples, channel in ((alike, 1), (dead, 2)):
        soundfile.write(tmp_path / "one.wav", samples, 48_000)
        assert read_recording(tmp_path / "one.wav").channel == channel


@pytest.mark.parametrize(("content", "says"), [
    (b"", "empty"),
    (b"\0\0\0 ftypM4A \0\0\0\0M4A mp42isom", "M4A.*WAV"),
    (b"\xff\xf1\x50\x80" + bytes(60), "AAC.*WAV"),
    (b"ID3\4\0\0\0\0\0\0" + bytes(60), "MP3.*WAV"),
    (b"#!AMR\n" + bytes(60), "AMR"),
    (b"caff\0\1\0\0" + bytes(60), "CAF"),
    (b"\x1a\x45\xdf\xa3" + bytes(60), "WebM"),
    (b"a letter, and no sound at all", "no sound file"),
    (b"RIFF\4\0\0\0WAVE", "cannot be read"),
])
def test_other_files_are_told_by_what_is_in_them(tmp_path, content, says):
    path = tmp_path / "recording.wav"
    path.write_bytes(content)
    with pytest.raises(Refused, match=says) as refused:
        read_recording(path)
    assert str(path) in str(refused.value) and "\n" not in str(refused.value)


@pytest.mark.parametrize(("kind", "depth", "says"), [
    ("MP3", "MPEG_LAYER_III", "MP3"), ("OGG", "VORBIS", "Ogg"), ("WAV", "ULAW", "ULAW"), ("WAV", "IMA_ADPCM", "ADPCM")])
def test_what_throws_sound_away_is_refused(tmp_path, stereo, kind, depth, says):
    path = tmp_path / "recording.wav"
    soundfile.write(path, stereo, 48_000, subtype=depth, format=kind)
    with pytest.raises(Refused, match=f"{says}.*throws away"):
        read_recording(path, channel=1)


def test_a_file_cut_in_the_middle(tmp_path, stereo):
    path = tmp_path / "cut.flac"
    soundfile.write(path, stereo, 48_000)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    with pytest.raises(Refused, match="damaged"):
        read_recording(path, channel=1)


def test_a_missing_file_a_folder_and_one_without_settings(tmp_path, stereo):
    with pytest.raises(Refused, match="no such file"):
        read_recording(tmp_path / "none.wav")
    with pytest.raises(Refused, match="folder"):
        read_recording(tmp_path)
    soundfile.write(tmp_path / "plain.wav", stereo, 48_000)
    with pytest.raises(Refused, match="settings"):
        signal_settings(tmp_path / "plain.wav")


def test_a_recording_of_an_hour_is_not_read(tmp_path):
    path = tmp_path / "long.flac"
    soundfile.write(path, np.zeros(700 * 1000), 1000)
    with pytest.raises(Refused, match="minutes long"):
        read_recording(path)
