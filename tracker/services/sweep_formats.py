"""Which sound files can be measured from: told by their first bytes, since a name may say anything."""

from __future__ import annotations

from pathlib import Path

from tracker.domain.errors import Refused

_RECORD = "record as WAV or FLAC"
_LOSSY = f"throws away what is measured here; {_RECORD}"
_HEAD = 64


def refuse_foreign(path: Path) -> None:
    """Refuses a file that is no WAV, FLAC or AIFF of whole samples, with what it is and what to do."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except FileNotFoundError:
        raise Refused(f"{path}: there is no such file; check its name and folder") from None
    except IsADirectoryError:
        raise Refused(f"{path}: that is a folder; name one recording in it") from None
    except OSError as why:
        raise Refused(f"{path}: it cannot be read ({why.strerror}); check who may read it") from None
    if not head:
        raise Refused(f"{path}: the file is empty; copy it from the recorder again")
    why = _why_not(head)
    if why:
        raise Refused(f"{path}: {why}")


def _why_not(head: bytes) -> str | None:
    if head[:4] in (b"RIFF", b"RIFX", b"RF64") and head[8:12] == b"WAVE":
        return None
    if head[:4] == b"fLaC":
        return None
    if head[:4] == b"FORM" and head[8:12] in (b"AIFF", b"AIFC"):
        return None
    if head[4:8] == b"ftyp":
        return ("this is an M4A or MP4 file, which cannot be read here and mostly holds AAC; set the recorder to WAV "
                "or to lossless and export that as WAV or FLAC, since converting brings nothing back")
    if head[:2] in (b"\xff\xf1", b"\xff\xf9"):
        return f"this is AAC, which {_LOSSY}"
    if head[:3] == b"ID3" or (head[0] == 0xFF and len(head) > 1 and head[1] & 0xE6 in (0xE2, 0xE4, 0xE6)):
        return f"this is MP3, which {_LOSSY}"
    if head[:4] == b"OggS":
        if b"FLAC" in head:
            return "this is FLAC inside Ogg; export it as FLAC or WAV"
        return f"this is Ogg (Vorbis or Opus), which {_LOSSY}"
    if head[:5] == b"#!AMR":
        return f"this is AMR, made for speech: it {_LOSSY}"
    if head[:4] == b"caff":
        return "this is a CAF file; export it as WAV or FLAC"
    if head[:4] == b"\x1a\x45\xdf\xa3":
        return "this is a WebM or Matroska file, mostly of Opus or a film; record as WAV or FLAC"
    if head[:4] == b"\x30\x26\xb2\x75":
        return f"this is WMA, which {_LOSSY}"
    return "this is no sound file that can be read here; export the recording as WAV, FLAC or AIFF"
