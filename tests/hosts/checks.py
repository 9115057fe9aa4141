"""Checks of the VST3 in hosts that musicians use: `checks.py NAME PLUGIN.vst3 DRYFIT`, or `checks.py --list`.

Exit codes: 0 passed, 10 warning, 77 skipped, anything else failed. One process a check.
"""

import ctypes
import json
import os
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

CHECKS = {}
SKIPPED = 77


def check(sentence):
    def register(function):
        CHECKS[function.__name__.replace("_", "-")] = (sentence, function)
        return function

    return register


class Failed(Exception):
    """What is otherwise than it should be."""


def require(so, said):
    if not so:
        raise Failed(said)


def numpy():
    import numpy

    return numpy


def noise(samples, channels=2):
    np = numpy()
    mono = np.random.default_rng(1).uniform(-0.1, 0.1, samples).astype("float32")
    return np.tile(mono, (channels, 1))


def pedal(given):
    import pedalboard

    return pedalboard.load_plugin(str(given.plugin))


class Given:
    def __init__(self, plugin, dryfit):
        self.plugin, self.dryfit = Path(plugin).resolve(), Path(dryfit).resolve()


def rendered(given, take):
    """The take through `dryfit render` at settings that are no defaults, and those settings as parameters."""
    np = numpy()
    import soundfile

    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "take.wav", Path(folder) / "out.wav"
        soundfile.write(path, take, 48000, subtype="FLOAT")
        command = [given.dryfit, "render", path, "-o", out, "--depth", "float"]
        command += ["--option", "five-way-bridge-only-neck-blend", "--recorded", "five-way-two-tones"]
        for setting in ["position=1", "volume=7.5", "tone=3.3", "blend=5.25", "cable=710p", "input=470k"]:
            command += ["--set", setting]
        subprocess.run(command, check=True, capture_output=True)
        return soundfile.read(out, dtype="float32")[0].astype(np.float32)


SETTINGS = {
    "Knob 1": "7.5",
    "Knob 2": "3.3",
    "Knob 3": "5.25",
    "Cable": "710p",
    "Input resistance": "470k",
    "Loudness match": "Off",
}


@check("pedalboard loads it: stereo and mono sound, no latency, 15 parameters")
def pedalboard_loads(given):
    np = numpy()
    plugin = pedal(given)
    require(plugin.reported_latency_samples == 0, f"latency {plugin.reported_latency_samples}")
    require(len(plugin.parameters) == 15, f"parameters {list(plugin.parameters)}")
    for channels in (2, 1):
        heard = plugin.process(noise(4800, channels), 48000)
        require(heard.shape == (channels, 4800), f"{channels} channels gave {heard.shape}")
        require(np.isfinite(heard).all() and np.abs(heard).max() > 0.001, f"{channels} channels are silent")


@check("pedalboard: a saved state restores its bytes and its sound in another instance")
def pedalboard_state(given):
    np = numpy()
    first, second = pedal(given), pedal(given)
    set_by_text(first, "Selector", "3: middle")
    first.knob_2 = 4.5
    first.process(noise(512), 48000, reset=False)
    saved = first.raw_state
    second.raw_state = saved
    require(second.raw_state == saved, "other bytes")
    a, b = (plugin.process(noise(9600), 48000) for plugin in (first, second))
    require(np.array_equal(a, b), "another sound")
    for broken in (b"", b"garbage", saved[: len(saved) // 2], saved[:-3], bytes(5000)):
        try:
            second.raw_state = broken
        except Exception as error:  # the host's own refusal is as good as the plug-in's
            print(f"refused: {type(error).__name__}", file=sys.stderr)
    second.raw_state = saved
    require(second.raw_state == saved, "broken states left a trace")


DIGITS = ".ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+"


def component_state(raw):
    """The plug-in's own state (JSON) in what the host saves: the host's digits of six bits, the lowest first, in XML."""
    size, digits = raw.partition(b"<IComponent>")[2].partition(b"</IComponent>")[0].decode().split(".", 1)
    number = sum(DIGITS.index(digit) << (6 * place) for place, digit in enumerate(digits))
    return json.loads(number.to_bytes(int(size), "little"))


def with_component_state(raw, state):
    """What the host would have saved with another state of the plug-in in it."""
    data = json.dumps(state).encode()
    number = int.from_bytes(data, "little")
    digits = "".join(DIGITS[number >> (6 * place) & 63] for place in range((len(data) * 8 + 5) // 6))
    head, _, rest = raw.partition(b"<IComponent>")
    xml = head[8:] + b"<IComponent>" + f"{len(data)}.{digits}".encode() + b"</IComponent>" + rest.partition(b"</IComponent>")[2]
    return head[:4] + (len(xml) - 1).to_bytes(4, "little") + xml


def project(state):
    return json.loads(json.loads(state["fields"]["project"]))


def with_project(raw, change):
    state = component_state(raw)
    changed = project(state)
    change(changed)
    state["fields"]["project"] = json.dumps(json.dumps(changed))
    return with_component_state(raw, state)


@check("pedalboard: a newer state is kept, and the wiring that was there sounds on")
def pedalboard_newer_state(given):
    np = numpy()
    plugin = pedal(given)
    before = plugin.process(noise(4800), 48000)
    saved = plugin.raw_state
    same = with_project(saved, lambda project: None)
    plugin.raw_state = same
    require(project(component_state(plugin.raw_state)) == project(component_state(saved)), "no round trip")
    plugin.raw_state = with_project(saved, lambda project: project.update(format=99, news="much"))
    kept = project(component_state(plugin.raw_state))
    require((kept["format"], kept["news"]) == (99, "much"), "the newer state is lost")
    require(np.array_equal(plugin.process(noise(4800), 48000), before), "another sound")


@check("pedalboard: every text of every parameter is read back as the same text")
def pedalboard_texts(given):
    for name, parameter in pedal(given).parameters.items():
        for step in range(41):
            text = parameter.get_text_for_raw_value(step / 40)
            back = parameter.get_text_for_raw_value(parameter.get_raw_value_for_text(text))
            require(back == text, f"{name}: {text} becomes {back}")


@check("pedalboard: NaN, infinities and denormals in, numbers out; wrong channel counts and empty blocks do no harm")
def pedalboard_bad_input(given):
    np = numpy()
    plugin = pedal(given)
    clean = noise(9600)
    before = plugin.process(clean, 48000)
    dirty = clean.copy()
    dirty[:, ::7] = np.nan
    dirty[:, ::11] = np.inf
    dirty[:, ::13] = 1e-42
    require(np.isfinite(plugin.process(dirty, 48000)).all(), "no numbers come out")
    require(plugin.process(noise(0), 48000).shape == (2, 0), "an empty block")
    for channels in (3, 6):
        try:
            plugin.process(noise(480, channels), 48000)
        except ValueError as refused:
            print(f"{refused}", file=sys.stderr)
    require(np.array_equal(plugin.process(clean, 48000), before), "the harm lasts")


@check("pedalboard: the same samples at block sizes 1 to 8192")
def pedalboard_block_sizes(given):
    np = numpy()
    plugin = pedal(given)
    take = noise(9600)
    expected = plugin.process(take, 48000, buffer_size=512)
    for size in (1, 7, 64, 1000, 8192):
        require(np.array_equal(plugin.process(take, 48000, buffer_size=size), expected), f"blocks of {size} differ")


@check("pedalboard: 44.1 to 192 kHz one after the other")
def pedalboard_rates(given):
    np = numpy()
    plugin = pedal(given)
    for rate in (44100, 48000, 88200, 96000, 176400, 192000, 44100):
        heard = plugin.process(noise(rate // 4), rate)
        require(np.isfinite(heard).all() and np.abs(heard).max() > 0.001, f"{rate} Hz is silent")


@check("pedalboard: the same samples as `dryfit render`, bit for bit")
def pedalboard_as_rendered(given):
    np = numpy()
    take = noise(48000)
    expected = rendered(given, take[0])
    plugin = pedal(given)
    plugin.knob_1, plugin.knob_2, plugin.knob_3, plugin.loudness_match = 7.5, 3.3, 5.25, False
    set_by_text(plugin, "Cable", "710p")
    set_by_text(plugin, "Input resistance", "470k")
    heard = plugin.process(take, 48000, buffer_size=512)[0]
    same = int((heard.view(np.int32) == expected.view(np.int32)).sum())
    require(same == len(expected), f"{same} of {len(expected)} samples are the same")


def set_by_text(plugin, name, text):
    parameter = next(p for p in plugin.parameters.values() if p.name == name)
    parameter.raw_value = parameter.get_raw_value_for_text(text)


@check("pedalboard: 20 instances at once")
def pedalboard_twenty(given):
    np = numpy()
    plugins = [pedal(given) for _ in range(20)]
    take = noise(4800)
    heard = [plugin.process(take, 48000) for plugin in plugins]
    require(all(np.array_equal(heard[0], other) for other in heard), "they differ")


@check("pedalboard: 200 instances automated, deactivated and dropped in turn")
def pedalboard_two_hundred(given):
    import gc

    take = noise(960)
    for i in range(200):
        plugin = pedal(given)
        for knob in range(10):
            plugin.knob_1 = (i * 7 + knob) % 101 / 10
            plugin.process(take, 48000, buffer_size=96, reset=False)
        plugin.reset()
        del plugin
        gc.collect()


def dreamed(given, take, prepare):
    """The take through the plug-in in dawdreamer; `prepare` gets the processor and its parameters' numbers by name."""
    import dawdreamer

    engine = dawdreamer.RenderEngine(48000, 512)
    playback = engine.make_playback_processor("take", take)
    plugin = engine.make_plugin_processor("dryfit", str(given.plugin))
    numbers = {entry["name"]: entry["index"] for entry in plugin.get_parameters_description()}
    prepare(plugin, numbers)
    engine.load_graph([(playback, []), (plugin, ["take"])])
    engine.render(take.shape[1] / 48000)
    return engine.get_audio(), plugin


@check("dawdreamer loads it and renders the same samples as `dryfit render`, bit for bit")
def dawdreamer_as_rendered(given):
    np = numpy()
    take = noise(48000)
    expected = rendered(given, take[0])
    board = pedal(given)
    raw = {}
    for name, text in SETTINGS.items():
        parameter = next(p for p in board.parameters.values() if p.name == name)
        raw[name] = parameter.get_raw_value_for_text(text)

    def prepare(plugin, numbers):
        for name, value in raw.items():
            plugin.set_parameter(numbers[name], value)

    heard = dreamed(given, take, prepare)[0][0][: len(expected)]
    same = int((heard.view(np.int32) == expected.view(np.int32)).sum())
    require(same == len(expected), f"{same} of {len(expected)} samples are the same")


@check("dawdreamer: automation moves the sound without a click, and twice the same way")
def dawdreamer_automation(given):
    np = numpy()
    time = np.arange(96000) / 48000
    tone = sum(np.sin(2 * np.pi * 110 * n * time) / n for n in (1, 2, 3, 4)).astype("float32") * 0.2
    take = np.tile(tone, (2, 1))
    sweep = (0.5 + 0.5 * np.cos(2 * np.pi * 0.5 * time)).astype("float32")

    def prepare(plugin, numbers):
        plugin.set_automation(numbers["Knob 1"], sweep)
        plugin.set_automation(numbers["Knob 2"], 1 - sweep)
        plugin.set_parameter(numbers["Loudness match"], 0.0)

    first, second = (dreamed(given, take, prepare)[0] for _ in range(2))
    still = dreamed(given, take, lambda plugin, numbers: plugin.set_parameter(numbers["Loudness match"], 0.0))[0]
    require(np.array_equal(first, second), "two runs differ")
    level = lambda audio: float(np.sqrt((audio**2).mean()))
    middle, edge = level(first[:, 46000:50000]), level(first[:, 1000:5000])
    require(middle < 0.1 * edge, f"the volume does not sweep: {edge:.4f} to {middle:.4f}")
    steepest, own = (float(np.abs(np.diff(audio[:, 4800:])).max()) for audio in (first, still))
    # A fade within one step of at least 32 samples adds at most twice the peak over 32.
    most = own + 2 * float(np.abs(still).max()) / 32
    require(steepest <= most, f"steepest step {steepest:.4f}, the signal's own {own:.4f}")


@check("dawdreamer: 200 instances automated and dropped in turn")
def dawdreamer_two_hundred(given):
    np = numpy()
    take = noise(960)
    sweep = np.linspace(0, 1, 960).astype("float32")
    for _ in range(200):
        dreamed(given, take, lambda plugin, numbers: plugin.set_automation(numbers["Knob 1"], sweep))


class Screen:
    """A screen of its own, on which nothing else happens. It goes with this process and not before: the hosts' toolkit
    ends a process whose screen goes."""

    def __init__(self):
        read, write = os.pipe()
        command = ["Xvfb", "-noreset", "-screen", "0", "1600x1000x24", "-displayfd", str(write)]
        try:
            quiet = {"stderr": subprocess.DEVNULL, "preexec_fn": self.go_with_parent}
            self.server = subprocess.Popen(command, pass_fds=[write], **quiet)
        except FileNotFoundError as missing:
            raise ImportError(f"no Xvfb: {missing}") from missing
        os.close(write)
        os.environ["DISPLAY"] = ":" + os.read(read, 16).decode().strip()
        # The host's toolkit lets X errors end the process; errors of windows that are just going are harmless.
        self.handler = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p)(lambda display, error: 0)
        ctypes.CDLL("libX11.so.6").XSetErrorHandler(self.handler)

    @staticmethod
    def go_with_parent():
        death_signal, terminate = 1, 15
        ctypes.CDLL(None).prctl(death_signal, terminate)

    @staticmethod
    def do(*words):
        try:
            subprocess.run(["xdotool", *words], check=True, capture_output=True, timeout=30)
        except FileNotFoundError as missing:
            raise ImportError(f"no xdotool: {missing}") from missing


def with_editor(plugin, work, patience=0.5):
    """Opens the editor, does some work on another thread, closes it; what the work raised is raised here."""
    close, raised = threading.Event(), []

    def run():
        time.sleep(patience)
        try:
            work()
        except BaseException as error:  # whatever it was, the editor has to close
            raised.append(error)
        close.set()

    worker = threading.Thread(target=run)
    worker.start()
    plugin.show_editor(close)
    worker.join()
    if raised:
        raise raised[0]


@check("the editor opens, closes and opens again 20 times, and sound goes on")
def editor_reopened(given):
    np = numpy()
    screen = Screen()
    plugin = pedal(given)
    for _ in range(20):
        with_editor(plugin, lambda: None)
        require(np.isfinite(plugin.process(noise(4800), 48000)).all(), f"the sound is no sound on {screen}")


@check("the editor is driven by keys and mouse, and the host learns of it")
def editor_driven(given):
    screen = Screen()
    plugin = pedal(given)
    require(plugin.parameters["listen"].string_value == "A", "it does not begin with A")

    def work():
        # Somewhere on the paper between the sheets, so that keys go to the editor.
        screen.do("mousemove", "590", "730", "click", "1")
        screen.do("key", "b")
        time.sleep(0.5)
        # The wheel over the whole picture, drags across it, and keys that mean nothing.
        for x in range(40, 1180, 90):
            screen.do("mousemove", str(x), "540", "click", "4", "mousedown", "1")
            screen.do("mousemove", str(x + 25), "480", "mouseup", "1")
        screen.do("key", "Tab", "Tab", "Up", "Down", "Escape", "F12")
        time.sleep(0.5)

    with_editor(plugin, work, patience=2)
    require(plugin.parameters["listen"].string_value == "B", "the key for B did nothing")
    moved = {name for name, p in plugin.parameters.items() if p.name.startswith(("Knob", "Selector")) and not at_rest(p)}
    require(moved, "neither wheel nor drag moved a knob or the selector")


@check("the editor fills its window at whatever size, and its buttons are where they are painted")
def editor_resized(given):
    np = numpy()
    screen = Screen()
    plugin = pedal(given)

    def sized(width, height, button, wanted):
        screen.do("search", "--onlyvisible", "--name", "Pedalboard", "windowsize", str(width), str(height))
        time.sleep(1.5)
        screen.do("mousemove", *map(str, button), "click", "1")
        for _ in range(30):
            time.sleep(0.1)
            if plugin.parameters["listen"].string_value == wanted:
                return
        raise Failed(f"{wanted} is not where a window of {width} by {height} has it")

    def work():
        # Places from the pictures in tests/reference/editor: the buttons stick to the right edge.
        sized(1500, 950, (1200, 63), "B")
        sized(900, 620, (480, 63), "Dry")
        # Too small, and a click between the sheets.
        sized(300, 200, (3, 104), "Dry")
        sized(1180, 760, (820, 63), "A")

    with_editor(plugin, work, patience=2)
    require(np.isfinite(plugin.process(noise(4800), 48000)).all(), "the sound is no sound")


@check("what the screen is set to is saved with the project and shown again")
def editor_remembers(given):
    screen = Screen()
    first, second = pedal(given), pedal(given)

    def work():
        # "dark", in the last line.
        screen.do("mousemove", "1103", "741", "click", "1")
        time.sleep(0.5)

    with_editor(first, work, patience=2)
    require('Dark' in json.dumps(component_state(first.raw_state)), "the theme is not saved")
    second.raw_state = first.raw_state
    with_editor(second, lambda: None, patience=2)
    require(second.raw_state == first.raw_state, "the theme is forgotten")


@check("an instance that goes while the editor's edit is being worked out takes nothing with it")
def editor_dropped(given):
    import gc

    np = numpy()
    screen = Screen()
    with_tray = {"bench": "A", "part": {"Part": "tone-cap"}, "values": ["22n", "47n"]}
    survivor = pedal(given)
    before = survivor.process(noise(4800), 48000)
    for turn in range(6):
        plugin = pedal(given)
        plugin.raw_state = with_project(plugin.raw_state, lambda project: project.update(tray=with_tray))
        # "E24" of the tray: twenty-four circuits to be worked out.
        with_editor(plugin, lambda: screen.do("mousemove", "668", "672", "click", "1"), patience=1 + 0.1 * turn)
        laid = project(component_state(plugin.raw_state))["tray"]["values"]
        require(len(laid) > 12, f"the click on E24 laid out {laid}")
        del plugin
        gc.collect()
    require(np.array_equal(survivor.process(noise(4800), 48000), before), "another instance sounds otherwise")


def at_rest(parameter):
    return parameter.string_value in ("10", "1: bridge")


def main():
    if sys.argv[1:] == ["--list"]:
        for name, (sentence, _) in CHECKS.items():
            print(f"{name}\t{sentence}")
        return 0
    name, plugin, dryfit = sys.argv[1:]
    try:
        said = CHECKS[name][1](Given(plugin, dryfit))
        print(said or "")
        return 0
    except ImportError as missing:
        print(f"{missing}")
        return SKIPPED
    except Failed as failed:
        print(f"{failed}")
        return 1


if __name__ == "__main__":
    sys.exit(main())
