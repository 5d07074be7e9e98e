"""The demo's own recordings: free of faults, the same at every run, and telling what its rooms were made with."""

from __future__ import annotations

import importlib.util

import numpy as np
import pytest

from tracker.domain.errors import Refused
from tracker.domain.sweep.faults import find_faults
from tracker.domain.sweep.measured import analyse
from tracker.resources import folder
from tracker.services.sweep_files import read_recording, signal_settings


@pytest.fixture(scope="module")
def demo():
    spec = importlib.util.spec_from_file_location("make_recordings", folder("demo") / "make_recordings.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_two_states_of_the_demo_room(demo, demo_recordings):
    made, _ = demo_recordings
    paths = [made / "bare-1.flac", made / "desk-end-1.flac"]
    assert signal_settings(made / demo.SIGNAL) == demo.SETTINGS
    middle = {}
    for path, (state, decay_s) in zip(paths, demo.decay_times().items(), strict=True):
        found = read_recording(path)
        assert find_faults(found.samples, found.rate_hz, demo.SETTINGS) == ()
        bands = {one.nominal_hz: one for one in analyse(found.samples, found.rate_hz, demo.SETTINGS).bands}
        for hz, expected in zip((500, 1000, 2000, 4000), decay_s[3:7], strict=True):
            # one position scatters by some 5 % (ISO 3382-2 annex A); neighbouring bands leak into one another
            assert bands[hz].t30.valid and bands[hz].t30.value_s == pytest.approx(expected, rel=0.15)
        middle[state] = bands[1000].t30.value_s
    assert middle["desk-end"] < 0.8 * middle["bare"]
    with pytest.raises(Refused, match="already"):
        demo.make_recordings(made, positions=1)


def test_a_recording_is_the_same_each_time_and_another_at_another_spot(demo):
    decay_s = (0.3,) * 8
    first, again, other = (demo.response(np.random.default_rng(seed), decay_s) for seed in (1, 1, 2))
    assert np.array_equal(first, again) and not np.allclose(first, other)
