"""A browser without a window, asked through the DevTools protocol."""

import base64
import json
import pathlib
import shutil
import subprocess
import tempfile
import time
import urllib.request

import websocket

NAMES = ("chromium", "chromium-browser")


class Browser:
    """One page of a browser; use it in a `with`."""

    def __init__(self, program=None):
        program = program or next(filter(None, map(shutil.which, NAMES)), None)
        if not program:
            raise SystemExit("no browser: install chromium")
        self.profile = tempfile.mkdtemp(prefix="pictures-")
        self.process = subprocess.Popen(
            [program, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
             "--force-color-profile=srgb", "--disable-lcd-text", "--remote-debugging-port=0",
             "--remote-allow-origins=*", f"--user-data-dir={self.profile}", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        port_file = pathlib.Path(self.profile, "DevToolsActivePort")
        for _ in range(600):
            if port_file.exists() and port_file.read_text().count("\n"):
                break
            time.sleep(0.1)
        port = port_file.read_text().split()[0]
        for _ in range(100):
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/json") as answer:
                pages = [page for page in json.load(answer) if page["type"] == "page"]
            if pages:
                break
            time.sleep(0.1)
        self.socket = websocket.create_connection(
            pages[0]["webSocketDebuggerUrl"], timeout=120, max_size=None,
            skip_utf8_validation=True)
        self.count = 0
        self.ask("Page.enable")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()
        self.process.terminate()
        self.process.wait(timeout=30)
        shutil.rmtree(self.profile, ignore_errors=True)

    def _send(self, method, parameters):
        self.count += 1
        self.socket.send(json.dumps(
            {"id": self.count, "method": method, "params": parameters}))
        return self.count

    def ask(self, method, **parameters):
        """Sends one question and waits for its answer."""
        number = self._send(method, parameters)
        while True:
            message = json.loads(self.socket.recv())
            if message.get("id") == number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                return message["result"]

    def show(self, path, width, height=800, scale=1.0, phone=False):
        """Opens a file in a window of this size, pixels; `scale`: device pixels for each."""
        self.ask("Emulation.setDeviceMetricsOverride", width=int(width), height=int(height),
                 deviceScaleFactor=scale, mobile=phone)
        number = self._send("Page.navigate", {"url": pathlib.Path(path).resolve().as_uri()})
        answered = loaded = False
        while not (answered and loaded):
            message = json.loads(self.socket.recv())
            answered |= message.get("id") == number
            loaded |= message.get("method") == "Page.loadEventFired"

    def run(self, script):
        """The value of an expression in the page."""
        answer = self.ask("Runtime.evaluate", expression=script, returnByValue=True,
                          awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def screenshot(self, width, height, scale=1.0):
        """The page from its upper left corner, as PNG."""
        answer = self.ask("Page.captureScreenshot", format="png", captureBeyondViewport=True,
                          clip={"x": 0, "y": 0, "width": width, "height": height,
                                "scale": scale})
        return base64.b64decode(answer["data"])

    def pdf(self):
        """The page printed on A4 with the page's own margins, else 10 mm."""
        centimetre = 1 / 2.54
        answer = self.ask("Page.printToPDF", paperWidth=21.0 * centimetre,
                          paperHeight=29.7 * centimetre, marginTop=centimetre,
                          marginBottom=centimetre, marginLeft=centimetre,
                          marginRight=centimetre, printBackground=True,
                          preferCSSPageSize=True)
        return base64.b64decode(answer["data"])
