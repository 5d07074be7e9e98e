"""A cloth's flow resistance and the weights of cloth and track, from the site file to the figures."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.domain.sound.build_up import build_up_alpha
from tracker.services.clouds import cloud_view
from tracker.services.setup import new_site
from tracker.services.site_file import read_site
from tracker.services.sounding import bay_alpha

BOX = (Path(__file__).resolve().parents[1] / "data" / "sound_box.toml").read_text(encoding="utf-8")
CLOTH = """
[[item]]
name = "sail"
form = "roll"
width = 1600
flow_resistance = 800
weight = 0.4

[[item]]
name = "light track"
form = "stick"
length = 3000
weight = 0.25
"""


def site_file(tmp_path: Path, cloth: str = CLOTH) -> Path:
    text = BOX.replace('[[build_up]]\nname = "cloud 100"\ninfill = "board 100"\ngap = 200\n',
                       '[[build_up]]\nname = "cloud 100"\ninfill = "board 100"\ngap = 200\nfabric = "sail"\n'
                       'edge = "light track"\n')
    assert text != BOX
    file = tmp_path / "site.toml"
    file.write_text(text.replace("[[build_up]]", cloth + "\n[[build_up]]", 1), encoding="utf-8")
    return file


def test_a_heavy_cloth_changes_what_the_layers_absorb_and_is_kept(tmp_path: Path) -> None:
    desk = new_site(tmp_path / "site.db", site_file(tmp_path), lambda: date(2026, 3, 2))
    try:
        site = desk.standing().site
        assert (site.item["sail"].flow_resistance_pa_s_m, site.item["sail"].weight_kg) == (800.0, 0.4)
        bay = next(bay for bay in site.bays.values() if bay.build_up == "cloud 100")
        found = bay_alpha(site, bay)
        # Held against the layer model, which has its own outside values: Pa s/m of the cloth in front.
        assert found.alpha == build_up_alpha(0.1, 48.0, None, 0.2, None, 800.0).alpha
        assert found.alpha != build_up_alpha(0.1, 48.0, None, 0.2).alpha
    finally:
        desk.close()


def test_a_cloud_is_weighed_with_its_cloth_and_track(tmp_path: Path) -> None:
    """Board 48 kg/m3 x 0.1 m x area, cloth 0.4 kg/m2 x area, track 0.25 kg/m round the edge."""
    site = read_site(site_file(tmp_path))
    bay = next(bay for bay in site.bays.values() if bay.build_up == "cloud 100")
    xs, ys = zip(*bay.outline, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    found = cloud_view(site, bay)
    assert found.unknown == ()
    assert found.weight_kg == pytest.approx((4.8 + 0.4) * wide * high + 0.25 * 2 * (wide + high), rel=1e-6)


@pytest.mark.parametrize(("line", "says"), [
    ('form = "board"\nsize = [1200, 600]\nflow_resistance = 5', "a board has flow_resistivity"),
    ('form = "board"\nsize = [1200, 600]\nweight = 5', "a board has density"),
])
def test_what_belongs_to_another_form_is_refused(tmp_path: Path, line: str, says: str) -> None:
    file = tmp_path / "site.toml"
    file.write_text(BOX.replace("[[build_up]]", f'[[item]]\nname = "odd"\n{line}\n\n[[build_up]]', 1), encoding="utf-8")
    with pytest.raises(Refused, match=says):
        read_site(file)
