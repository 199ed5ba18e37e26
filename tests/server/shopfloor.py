"""A shop's folder with its server, for the cases of serving.py and the benchmark."""
import http.client
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.parse
import uuid

HERE = os.path.dirname(os.path.abspath(__file__))
OUTSIDE = os.path.join(HERE, "..", "outside")


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def no_word_of_size():
    """A file that may not grow is an error of writing, as a full disk is, not the end of the server."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)


faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def until(look, seconds=60):
    """Looks again and again until there is something to see; what was seen last."""
    end = time.monotonic() + seconds
    while not (seen := look()) and time.monotonic() < end:
        time.sleep(0.05)
    return seen


def steady(look, looks=10):
    """Looks until the same is seen so many times in a row."""
    seen = []

    def is_steady():
        seen.append(look())
        return len(seen) >= looks and len(set(seen[-looks:])) == 1
    until(is_steady)
    return seen[-1]


class Answer:
    def __init__(self, response):
        self.status, self.headers, self.body = response.status, dict(response.getheaders()), response.read()

    def json(self):
        return json.loads(self.body)

    def text(self):
        return self.body.decode()


class Shop:
    """A folder with jobs made from seeds, served on a port of its own."""

    def __init__(self, lapstrake, profile, jobs=(1,), folder=None):
        self.lapstrake, self.port, self.process, self.cookie = lapstrake, free_port(), None, None
        self.env = dict(os.environ, LAPSTRAKE_PROFILE=profile)
        self.folder = folder or tempfile.mkdtemp(prefix="shop-")
        self.made = folder is None
        for seed in jobs:
            subprocess.run([sys.executable, f"{OUTSIDE}/make_jobs.py", str(seed), f"{self.folder}/T-{seed}"], check=True, env=self.env)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.kill()
        if self.made:
            shutil.rmtree(self.folder, ignore_errors=True)

    def run(self, *arguments, **more):
        return subprocess.run([self.lapstrake, *arguments], capture_output=True, text=True, env=self.env, timeout=300, **more)

    def start(self, *arguments):
        self.process = subprocess.Popen([self.lapstrake, "serve", self.folder, "--port", str(self.port), *arguments],
                                        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=self.env, preexec_fn=no_word_of_size)
        line = self.process.stdout.readline()
        if not re.match(r"The page is at https?://", line):
            raise RuntimeError(f"the server did not start: {line}{self.process.stdout.read()}")
        return self

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        status = self.process.wait(60)
        self.end()
        return status

    def kill(self):
        if self.process:
            self.process.kill()
            self.process.wait()
            self.end()

    def end(self):
        """What the server said last: a sanitizer's words are a fault."""
        said = self.process.stdout.read()
        hold("Sanitizer" not in said and "runtime error" not in said, f"the sanitizer says: {said[:3000]}")
        self.process = None

    # ---- asking ----

    def connection(self, timeout=30):
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=timeout)

    def ask(self, method, path, body=None, headers=None, connection=None):
        own = {"Host": f"127.0.0.1:{self.port}"}
        if method in ("POST", "PUT"):
            own["Origin"] = f"http://127.0.0.1:{self.port}"
        if self.cookie:
            own["Cookie"] = self.cookie
        if isinstance(body, (dict, list)):
            body = urllib.parse.urlencode(body)
            own["Content-Type"] = "application/x-www-form-urlencoded"
        own.update(headers or {})
        c = connection or self.connection()
        c.request(method, path, body=body, headers={k: v for k, v in own.items() if v is not None})
        return Answer(c.getresponse())

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def post(self, path, form=None, **more):
        return self.ask("POST", path, body=form if form is not None else {}, **more)

    def raw(self, data, timeout=10):
        """Bytes on the wire, and all that comes back until the server closes or is silent."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=timeout) as s:
            s.sendall(data)
            s.settimeout(timeout)
            back = b""
            try:
                while chunk := s.recv(65536):
                    back += chunk
            except (TimeoutError, ConnectionResetError):
                pass
            return back

    def fact(self, job, kind, panels="", **more):
        return self.post(f"/api/jobs/{job}/facts", dict({"key": uuid.uuid4().hex, "kind": kind, "panels": panels}, **more))

    def sign_in(self, name, password):
        answer = self.post("/sign-in", {"name": name, "password": password})
        self.cookie = answer.headers.get("Set-Cookie", "").split(";")[0] if answer.status == 303 else None
        return answer

    # ---- looking at it ----

    def resident_kb(self):
        return int(re.search(r"VmRSS:\s+(\d+)", open(f"/proc/{self.process.pid}/status").read())[1])

    def descriptors(self):
        return len(os.listdir(f"/proc/{self.process.pid}/fd"))

    def planned(self, job, seconds=60):
        """Waits until the job has a plan on record; its view."""
        views = []

        def is_planned():
            views.append(self.get(f"/api/jobs/{job}").json())
            return views[-1].get("planned") and not views[-1].get("planning")
        if not until(is_planned, seconds):
            raise RuntimeError(f"{job} was not planned in {seconds} s: {views[-1].get('trouble')} {views[-1].get('mistakes')}")
        return views[-1]

    def planned_outside(self, job):
        """Plans on the command line; the panels' ids."""
        done = self.run("record", "plan", f"{self.folder}/{job}")
        if done.returncode:
            raise RuntimeError(f"{job} was not planned: {done.stderr}")
        plan = json.load(open(f"{self.folder}/{job}/out/plan.json"))
        return [panel["id"] for surface in plan["surfaces"] for panel in surface["panels"]]
