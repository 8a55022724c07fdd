"""The report in a real browser: nothing sticks out, nothing is unreadable, nothing is complained of, and it prints.

Chromium is driven by its command line. Without one these tests are skipped, and `make test` says so.
"""

import functools
import html
import http.server
import json
import re
import shutil
import subprocess
import threading
from pathlib import Path

import pytest

import yokewright as yw

EXAMPLES = Path(__file__).parents[2] / "examples"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
WIDTHS = [390, 768, 1280]  # px: a phone, a tablet held upright, a desk
LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3
MOST_PAGES = 16  # of the training rig: five axes, a stick, and what is told of the whole rig

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="NO CHROMIUM FOUND: the report is not looked at in a browser")

# Opens the page in frames of each width, and writes what it finds into its own text.
LOOK = """<!DOCTYPE html><html><head><meta charset='utf-8'><title>look</title></head><body><pre id='found'>none</pre>
<script>
const widths = WIDTHS, found = {};
function channel(value) {
  value /= 255;
  return value <= 0.04045 ? value / 12.92 : Math.pow((value + 0.055) / 1.055, 2.4);
}
function luminance(color) {
  const [r, g, b] = color.match(/[0-9.]+/g).map(Number).map(channel);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function ground(element) {
  for (let at = element; at; at = at.parentElement) {
    const color = at.ownerDocument.defaultView.getComputedStyle(at).backgroundColor;
    if (!/, 0\\)$/.test(color) && color !== 'transparent') return color;
  }
  return 'rgb(255, 255, 255)';
}
function look(frame, width) {
  const page = frame.contentDocument, view = frame.contentWindow, result = {};
  result.width = page.documentElement.clientWidth;
  result.scroll = page.documentElement.scrollWidth;
  result.out = [...page.querySelectorAll('body *')]
    .filter(one => one.getBoundingClientRect().right > width + 0.5 && !one.closest('.skip'))
    .slice(0, 5).map(one => one.outerHTML.slice(0, 160));
  result.inner = [...page.querySelectorAll('.wide')].filter(one => one.scrollWidth > one.clientWidth + 1)
    .slice(0, 5).map(one => one.textContent.slice(0, 80));
  const verdicts = [...page.querySelectorAll('td[data-head=Verdict]')].map(one => one.getBoundingClientRect());
  result.verdicts = verdicts.length;
  result.hidden = verdicts.filter(one => one.width < 8 || one.height < 8 || one.right > width || one.left < 0).length;
  result.broken = [...page.images].filter(one => !(one.complete && one.naturalWidth > 0)).length;
  result.images = page.images.length;
  result.dark = view.matchMedia('(prefers-color-scheme: dark)').matches;
  let least = 99, where = '';
  for (const one of page.querySelectorAll('h1, h2, h3, p, li, a, th, td, dt, dd, figcaption')) {
    const [a, b] = [luminance(view.getComputedStyle(one).color), luminance(ground(one))];
    const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (contrast < least) { least = contrast; where = one.outerHTML.slice(0, 120); }
  }
  result.contrast = least;
  result.where = where;
  const small = [...page.querySelectorAll('p, li, td, th, dd, figcaption')]
    .map(one => parseFloat(view.getComputedStyle(one).fontSize));
  result.letters = Math.min(...small);
  // Where the keyboard goes first, and whether it is seen there.
  const skip = page.querySelector('a[href]');
  skip.focus();
  const box = skip.getBoundingClientRect();
  result.first = skip.textContent;
  result.seen = box.top >= 0 && box.left >= 0 && box.width > 20 && page.activeElement === skip;
  return result;
}
async function all() {
  for (const width of widths) {
    const frame = document.createElement('iframe');
    frame.style.cssText = `width: ${width}px; height: 900px; border: 0`;
    const loaded = new Promise(done => frame.onload = done);
    frame.src = 'page.html';
    document.body.append(frame);
    await loaded;
    await Promise.all([...frame.contentDocument.images].map(one => one.decode().catch(() => null)));
    found[width] = look(frame, width);
  }
  document.getElementById('found').textContent = JSON.stringify(found);
}
all().catch(error => { document.getElementById('found').textContent = JSON.stringify({error: String(error)}); });
</script></body></html>
""".replace("WIDTHS", json.dumps(WIDTHS))


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """A folder with the page and what looks at it, served, since no page may look into frames of files."""
    folder = tmp_path_factory.mktemp("site")
    evaluation = yw.rig.Design.load(EXAMPLES / "training_rig.toml").evaluate()
    yw.report.write_report(evaluation, folder / "page.html")
    (folder / "look.html").write_text(LOOK, encoding="utf-8")
    (folder / "favicon.ico").write_bytes(b"")
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield folder, f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def chromium(folder, *arguments):
    """Run it with a profile of its own; what it prints and what it complains of."""
    command = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run"]
    command += ["--disable-background-networking", "--enable-logging=stderr", f"--user-data-dir={folder / 'profile'}"]
    done = subprocess.run([*command, *arguments], capture_output=True, text=True, timeout=180, check=True)
    return done.stdout, re.findall(r"CONSOLE[^\n]*", done.stderr)


@pytest.fixture(scope="module", params=["light", "dark"])
def looked(request, site):
    folder, address = site
    scheme = {"dark": 0, "light": 1}[request.param]
    text, console = chromium(
        folder,
        f"--blink-settings=preferredColorScheme={scheme}",
        "--virtual-time-budget=60000",
        "--dump-dom",
        f"{address}/look.html",
    )
    found = json.loads(html.unescape(re.search(r"<pre id=\"found\">(.*?)</pre>", text, re.DOTALL)[1]))
    assert "error" not in found
    return request.param, {int(width): result for width, result in found.items()}, console


def test_the_browser_has_nothing_to_complain_of(looked):
    _, found, console = looked
    assert console == []
    for result in found.values():
        assert result["images"] > 20
        assert result["broken"] == 0


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_sticks_out(looked, width):
    _, found, _ = looked
    result = found[width]
    # A bar to scroll by may take some of the width.
    assert width - 20 <= result["width"] <= width
    assert result["scroll"] <= result["width"]
    assert result["out"] == []
    assert result["inner"] == []


@pytest.mark.parametrize("width", WIDTHS)
def test_every_verdict_is_in_sight(looked, width):
    _, found, _ = looked
    evaluation = yw.rig.Design.load(EXAMPLES / "training_rig.toml").evaluate()
    assert found[width]["verdicts"] >= sum(len(axis.verdicts) for axis in evaluation.axes)
    assert found[width]["hidden"] == 0


@pytest.mark.parametrize("width", WIDTHS)
def test_words_can_be_read(looked, width):
    scheme, found, _ = looked
    result = found[width]
    assert result["dark"] == (scheme == "dark")
    assert result["contrast"] >= LEAST_CONTRAST, result["where"]
    assert result["letters"] >= 13.0  # px; smaller is not read on a phone (common practice)


def test_the_keyboard_comes_to_the_skip_link_first(looked):
    _, found, _ = looked
    for result in found.values():
        assert result["first"] == "Skip to the first control"
        assert result["seen"]


def test_it_prints_on_few_pages(site):
    folder, address = site
    pages = folder / "page.pdf"
    _, console = chromium(folder, f"--print-to-pdf={pages}", "--no-pdf-header-footer", f"{address}/page.html")
    assert console == []
    count = len(re.findall(rb"/Type\s*/Page\b(?!s)", pages.read_bytes()))
    assert 4 <= count <= MOST_PAGES
