#!/usr/bin/python3
"""Three devices record on one job, against the real server: away from the network, with wrong clocks, undoing, going on with
a reason, while the server is killed.

    devices.py LAPSTRAKE FROM COUNT [SECONDS]      schedules FROM, FROM + 1, ...; ends early after SECONDS
    devices.py LAPSTRAKE SEED                      one schedule again, step by step

A schedule is drawn from its seed. The devices keep an entry until it is acknowledged, as doc/web.md says the page does. Beside
them stands a model of what was acknowledged, and rules written from doc/record.md ("Gates") that share nothing with the
program: nothing acknowledged may be lost or doubled, nothing undone may stand, nothing may pass a gate.
Prints one line a fault; exit status 1 when there is one.
"""
import glob
import http.client
import json
import os
import random
import shutil
import sys
import tempfile
import threading
import time
import urllib.parse

from shopfloor import Shop, faults, hold, until

DRY_H, BOND_H = 30, 24  # written into the shop file below: the rules ask no figure of the program
ROOM_C, APPLY_C = (20, 23), (15, 25)  # doc/record.md: a cast laminate, applying film
SHOP = f"""currency: EUR
zone: UTC
hours: {{mon-sun: 00:00-24:00}}
printers: [{{name: wide, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h, setup: 20 min}}]
films: [{{name: cast-white, kind: cast, widths: [1370, 1520], length: 50 m, price: 9.80 per m2}}]
laminates: [{{name: cast-gloss, kind: cast, finish: gloss, widths: [1370, 1520], length: 50 m, price: 7.10 per m2, temperature: [20, 23], bond: {BOND_H} h}}]
inks: [{{name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: 0.16 per ml, dry: {{least: {DRY_H} h, most: {DRY_H} h}}}}]
conditions: [{{name: van-cast, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco}}]
"""
JOB = """job: {number}
title: Mobile library van
vehicle: long van
shop: ../shop.yaml
print: {{condition: van-cast}}
drying: hung
surfaces:
  - {{name: left, size: [3600, 1900], front: left, panels: upright}}
"""
STEPS = ["printed", "hung", "laminated", "trimmed", "installed"]
JOBS = 25  # of one folder at most, a schedule each
STEPS_OF_SCHEDULE = 40
LOST_S = 5  # what was sent and not answered has arrived by then, or never does
SPAN_S = 12 * 86400  # the shop's days before now in which all is said to have happened


def iso(at):
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(at))


class Entry:
    def __init__(self, fields):
        self.fields, self.numbers, self.refused = fields, None, None
        self.tried = None  # the server may have heard of it: after how many kills it was last sent
        self.undone = self.found = False

    @property
    def key(self):
        return self.fields["key"]

    @property
    def panels(self):
        return [p for p in self.fields.get("panels", "").split(",") if p]


class Device:
    """One browser: its clock is wrong, and it knows the server's by the last answer."""

    def __init__(self, name, rng, world):
        self.name, self.rng, self.world = name, rng, world
        self.wrong_s = rng.choice([0, 0, 47, -3600, 86400 * 3, -86400 * 400])
        self.ahead_s = -self.wrong_s  # learned when the page was loaded
        self.away = False
        self.queue, self.made, self.last_refusal = [], [], None

    def now(self):
        return time.time() + self.wrong_s + self.ahead_s

    def record(self, **fields):
        fields = {"key": f"{self.rng.getrandbits(128):032x}", "who": self.name, "at": iso(self.now()), **fields}
        entry = Entry({k: v for k, v in fields.items() if v is not None})
        self.made.append(entry)
        self.world.entries.append(entry)
        self.queue.append(entry)
        self.flush()
        return entry

    def flush(self, lose=False):
        """Sends what waits, in its order, until the server cannot be asked."""
        while self.queue and not self.away:
            entry = self.queue[0]
            if entry.undone:
                if not self.settle(entry):
                    return
                self.queue.remove(entry)
                continue
            entry.tried = self.world.kills
            answer = self.world.send(entry.fields, lose)
            if answer is None:
                return
            self.queue.remove(entry)
            self.take(entry, *answer)

    def take(self, entry, status, body):
        if status == 200:
            hold(entry.numbers in (None, body["facts"]), f"{self.world.name}: {entry.fields} was {entry.numbers}, now {body['facts']}")
            entry.numbers = body["facts"]
        else:
            entry.refused = (status, body)
            hold(entry.fields["kind"] != "withdrawn", f"{self.world.name}: {status} {body} for {entry.fields}")
            hold(400 <= status < 500 and body.get("error"), f"{self.world.name}: {status} {body} for {entry.fields}")
            if entry.numbers is None and (body.get("gate") or {}).get("may_override"):
                self.last_refusal = entry

    def settle(self, entry):
        """An undone entry that the server may have heard of: looked for by its key, and withdrawn."""
        facts = self.world.facts()
        if facts is None:
            return False
        for fact in facts:
            if base(fact) == entry.key and not fact["withdrawn"] and fact["kind"] != "withdrawn":
                self.withdraw(fact["number"])
        entry.found = entry.found or any(base(fact) == entry.key for fact in facts)
        return True

    def settle_until_nothing_flies(self, entry):
        """As the page does, in less time: what this server was sent may still be on its way; what one that was killed was sent is not."""
        def is_over():
            self.settle(entry)
            return entry.found or entry.tried != self.world.kills
        until(is_over, LOST_S)

    def withdraw(self, number):
        entry = Entry({"key": f"undo-{number}-of-{self.world.job}", "kind": "withdrawn", "withdraws": str(number), "words": "Undone", "at": iso(self.now())})
        known = next((one for one in self.world.entries if one.key == entry.key), None)
        if not known:
            self.world.entries.append(entry)
            self.queue.append(entry)

    def undo(self):
        entry = self.rng.choice(self.made) if self.made else None
        if not entry or entry.undone or entry.refused or entry.fields["kind"] == "withdrawn":
            return
        entry.undone = True
        if entry.numbers:
            for number in entry.numbers:
                self.withdraw(number)
        elif entry.tried is None:
            self.queue.remove(entry)
        self.flush()


def base(fact):
    """The key as it was sent: of several panels each has one with its place."""
    key = fact["key"] or ""
    head, dash, tail = key.rpartition("-")
    return head if dash and tail.isdigit() and len(head) == 32 else key


class World:
    """One schedule on one job."""

    def __init__(self, shop, job, seed, told=False):
        self.shop, self.job, self.name, self.told = shop, job, f"seed {seed}", told
        self.rng = random.Random(seed)
        self.entries, self.kills = [], 0
        self.base_s = time.time() - SPAN_S
        self.clock_s = 0  # of the shop's days, for entries that say when
        self.devices = [Device(name, random.Random(self.rng.random()), self) for name in ("wall", "phone", "desk")]

    def say(self, words):
        if self.told:
            print(words)

    # ---- the wire ----

    def send(self, fields, lose=False):
        """The answer, or None: it did not come, and the server may have heard."""
        connection = http.client.HTTPConnection("127.0.0.1", self.shop.port, timeout=20)
        try:
            connection.request("POST", f"/api/jobs/{self.job}/facts", urllib.parse.urlencode(fields),
                               {"Content-Type": "application/x-www-form-urlencoded", "Origin": f"http://127.0.0.1:{self.shop.port}"})
            if lose:
                return None
            answer = connection.getresponse()
            body = json.loads(answer.read())
            self.say(f"  {fields} -> {answer.status} {body}")
            return None if answer.status in (429, 502, 503, 507) else (answer.status, body)
        except (OSError, http.client.HTTPException, ValueError):
            return None
        finally:
            connection.close()

    def facts(self):
        try:
            return [f for f in self.shop.get(f"/api/jobs/{self.job}/facts").json()["facts"][::-1] if f["kind"] != "planned"]
        except (OSError, http.client.HTTPException, ValueError):
            return None

    # ---- what people do ----

    def step(self, device):
        """Mostly what comes next for a panel as far as the device knows; the shop's days go on."""
        rng = self.rng
        panels = rng.sample(self.panels, rng.choice([1, 1, 1, 2]))
        done = [e.fields["kind"] for e in self.entries if e.panels[:1] == panels[:1] and not e.undone and not e.refused]
        missing = [kind for kind in STEPS if kind not in done] or ["reprint"]
        kind = missing[0] if rng.random() < 0.75 else rng.choice(STEPS + ["damaged", "reprint", "dry-checked", "measured"])
        self.clock_s = min(self.clock_s + rng.choice([0, 600, 7200, DRY_H * 1800, DRY_H * 3600]), SPAN_S - 60)
        fields = {"kind": kind, "panels": ",".join(panels), "at": iso(self.base_s + self.clock_s) if rng.random() < 0.8 else None}
        if fields["at"] is None:
            del fields["at"]
        if kind in ("laminated", "installed"):
            fields["air_c"] = rng.choice(["21", "21,5", "22.5", "10", None])
            fields["surface_c"] = rng.choice(["20", "18,5", "40", None])
        if kind in ("damaged", "reprint"):
            fields["words"] = "Scratched"
        if kind == "measured":
            fields["measured_mm"] = "1900,5"
        device.record(**fields)

    def override(self, device):
        refused, device.last_refusal = device.last_refusal, None
        if refused:
            device.record(**{**refused.fields, "key": f"{self.rng.getrandbits(128):032x}", "override": "A test piece beside it is ready"})

    def again(self, device):
        """What was acknowledged is sent once more: the same numbers come back, and nothing is recorded."""
        known = [e for e in device.made if e.numbers]
        if not known or device.away:
            return
        entry = self.rng.choice(known)
        answer = self.send(entry.fields)
        if answer:
            hold(answer == (200, {"facts": entry.numbers}), f"{self.name}: again {entry.fields}: {answer}, was {entry.numbers}")

    def other_content(self, device):
        known = [e for e in device.made if e.numbers and e.fields["kind"] == "note"]
        if not known or device.away:
            return
        answer = self.send({**self.rng.choice(known).fields, "words": "Something else"})
        hold(not answer or answer[0] == 409, f"{self.name}: a used key with other words: {answer}")

    def at_once(self, _):
        """Two devices send the same step in the same moment."""
        panel, present = self.rng.choice(self.panels), [d for d in self.devices if not d.away][:2]
        work = [threading.Thread(target=d.record, kwargs={"kind": "printed", "panels": panel}) for d in present]
        for one in work:
            one.start()
        for one in work:
            one.join()

    def kill(self, device):
        """The server dies while something is on its way to it, or at rest."""
        sender = None
        if not device.away and self.rng.random() < 0.7:
            sender = threading.Thread(target=device.record, kwargs={"kind": "note", "words": f"While it was killed {self.rng.random()}"})
            sender.start()
            time.sleep(self.rng.random() * 0.006)
        self.shop.kill()
        self.kills += 1
        if sender:
            sender.join()
        self.shop.start()

    def lost(self, device):
        """The network goes while the answer is on its way."""
        device.flush()
        if device.queue or device.away:
            return
        device.away = True
        entry = device.record(kind="note", words=f"Lost on its way {self.rng.random()}")
        entry.tried = self.kills
        device.away = False
        self.send(entry.fields, lose=True)
        device.away = True

    def network(self, device):
        device.away = not device.away
        device.flush()

    def note(self, device):
        device.record(kind="note", panels=self.rng.choice(["", self.panels[0]]) or None, words=f"Note {self.rng.random()}")

    def run(self):
        self.panels = [p["panel"] for p in self.shop.get(f"/api/jobs/{self.job}").json()["panels"]]
        acts = [self.step] * 14 + [self.note] * 4 + [self.network] * 4 + [self.override] * 4 + [self.again, self.other_content, self.at_once, self.lost]
        acts += [lambda device: device.undo()] * 4
        kill_at = self.rng.randrange(STEPS_OF_SCHEDULE * 3)
        for turn in range(STEPS_OF_SCHEDULE):
            device = self.rng.choice(self.devices)
            act = self.kill if turn == kill_at else self.rng.choice(acts)
            self.say(f"{turn} {device.name}{' (away)' if device.away else ''}: {getattr(act, '__name__', 'act')}")
            act(device)
        for device in self.devices:
            device.away = False
            device.flush()
            for entry in device.made:  # as the page does: an undone entry is looked for until nothing can be on its way
                if entry.undone and entry.tried is not None:
                    device.settle_until_nothing_flies(entry)
            for _ in range(5):
                device.flush()
            hold(not device.queue, f"{self.name}: {device.name} could not send {[e.fields for e in device.queue]}")
        self.judge()

    # ---- the model ----

    def judge(self):
        facts = self.facts() or []
        by_key = {}
        for fact in facts:
            by_key.setdefault(base(fact), []).append(fact)
        known = {e.key: e for e in self.entries}
        for key, found in by_key.items():
            hold(key in known, f"{self.name}: on record, and nobody sent it: {found}")
        for entry in self.entries:
            self.judge_entry(entry, by_key.get(entry.key, []), facts)
        judge_gates(facts, self.name)

    def judge_entry(self, entry, found, facts):
        what = f"{self.name}: {entry.fields}"
        if entry.numbers is not None:
            hold([f["number"] for f in found] == entry.numbers, f"{what}: acknowledged as {entry.numbers}, on record are {[f['number'] for f in found]}")
            hold(len(found) == max(1, len(entry.panels)), f"{what}: {len(found)} on record")
        elif entry.refused:
            hold(not found, f"{what}: refused with {entry.refused}, and on record as {found}")
        elif entry.tried is None:
            hold(not found, f"{what}: never sent, and on record as {found}")
        hold(len(found) in (0, max(1, len(entry.panels))), f"{what}: {len(found)} of its panels are on record")
        for place, fact in enumerate(found):
            if entry.fields["kind"] != "withdrawn":
                hold(fact["panel"] == (entry.panels[place] if entry.panels else None), f"{what}: is on {fact['panel']}")
            hold(fact["kind"] == entry.fields["kind"] and fact["words"] == entry.fields.get("words"), f"{what}: is {fact}")
            hold(iso(fact["at"]["s"]) == entry.fields["at"], f"{what}: at {iso(fact['at']['s'])}")
            hold(fact["who"] == entry.fields.get("who"), f"{what}: by {fact['who']}")
            if entry.undone:
                back = [f for f in facts if f["kind"] == "withdrawn" and f["withdraws"] == fact["number"]]
                hold(len(back) == 1 and fact["withdrawn"], f"{what}: undone, and stands; withdrawals: {back}")


def standing(facts, panel):
    """What holds of the piece now: since it was last to be printed again, without what was withdrawn."""
    gone = {f["withdraws"] for f in facts if f["kind"] == "withdrawn"}
    holds = [f for f in facts if f["panel"] == panel and f["number"] not in gone and f["kind"] != "withdrawn"]
    fresh = max((i + 1 for i, f in enumerate(holds) if f["kind"] == "reprint"), default=0)
    return holds[fresh:]


def judge_gates(facts, name):
    """Each fact by what was on record before it. A reason opens what waits or is too cold, never what cannot be."""
    for place, fact in enumerate(facts):
        if fact["panel"] is None or fact["kind"] in ("note", "photo", "withdrawn"):
            continue
        before = standing(facts[:place], fact["panel"])
        at = {f["kind"]: f["at"]["s"] for f in before if f["kind"] in STEPS}
        what = f"{name}: no. {fact['number']} {fact['kind']} on {fact['panel']} at {iso(fact['at']['s'])} after {[(k, iso(v)) for k, v in at.items()]}"
        hold(not never(fact, before, at), f"{what}: {never(fact, before, at)}")
        hold(fact["override"] or not waits(fact, at), f"{what}: {waits(fact, at)}, and no reason is on record")


def never(fact, before, at):
    kind, when = fact["kind"], fact["at"]["s"]
    damaged = any(f["kind"] == "damaged" for f in before)
    if damaged and kind != "reprint":
        return "the piece is damaged"
    if kind != "printed" and "printed" not in at:
        return "it was never printed"
    if kind in ("trimmed", "installed") and "laminated" not in at:
        return "it was never laminated"
    if kind == "dry-checked" and "hung" not in at:
        return "it was never hung"
    if kind in at:
        return "it was done already"
    if kind in STEPS:  # people say times to the minute
        when, at = when // 60, {k: v // 60 for k, v in at.items()}
        if any(at[k] > when for k in STEPS[: STEPS.index(kind)] if k in at):
            return "an earlier step was later"
        if any(at[k] < when for k in STEPS[STEPS.index(kind) + 1 :] if k in at):
            return "a later step was earlier"
    return ""


def waits(fact, at):
    kind, when = fact["kind"], fact["at"]["s"]
    if kind == "laminated":
        if "hung" not in at or when < at["hung"] + DRY_H * 3600:
            return "it is not dry"
        if not within(fact["air_c"], ROOM_C):
            return "the room is not right, or nobody said how warm it is"
    if kind in ("trimmed", "installed") and when < at["laminated"] + BOND_H * 3600:
        return "the laminate bonds"
    if kind == "installed" and not (within(fact["air_c"], APPLY_C) and within(fact["surface_c"], APPLY_C)):
        return "air or vehicle are not right, or nobody said how warm they are"
    return ""


def within(value, limits):
    return value is not None and limits[0] <= value <= limits[1]


# ---- folders and schedules ----


def make_template(lapstrake, jobs):
    folder = tempfile.mkdtemp(prefix="devices-")
    profile = os.path.join(os.path.dirname(lapstrake), "tests/outside.icc")  # without one, printing is shut by a stop
    open(f"{folder}/shop.yaml", "w").write(SHOP.replace("ink: eco}", f"ink: eco, profile: {profile}}}"))
    shop = Shop(lapstrake, "", (), folder)
    for n in range(jobs):
        os.mkdir(f"{folder}/D-{n}")
        open(f"{folder}/D-{n}/job.yaml", "w").write(JOB.format(number=f"D-{n}"))
        done = shop.run("record", "plan", f"{folder}/D-{n}")
        if done.returncode:
            raise RuntimeError(f"the job cannot be planned: {done.stdout}{done.stderr}")
    shutil.copy(f"{folder}/record.sqlite", f"{folder}/record.first")
    return folder


def run_folder(lapstrake, folder, seeds, until_s, told=False):
    """The folder with the record it had at first, a job for each seed; how many schedules were run."""
    for left in glob.glob(f"{folder}/record.sqlite*"):
        os.remove(left)
    shutil.copy(f"{folder}/record.first", f"{folder}/record.sqlite")
    ran = 0
    with Shop(lapstrake, "", (), folder) as shop:
        shop.start()
        for n, seed in enumerate(seeds):
            if time.time() > until_s:
                break
            World(shop, f"D-{n}", seed, told).run()
            ran += 1
        shop.stop()
        verified = shop.run("record", "verify", folder)
        hold(verified.returncode == 0, f"seeds {seeds[0]} to {seeds[-1]}: {verified.stdout}{verified.stderr}")
    return ran


def main():
    lapstrake, first = os.path.abspath(sys.argv[1]), int(sys.argv[2])
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    until_s = time.time() + (float(sys.argv[4]) if len(sys.argv) > 4 else 1e9)
    template, ran, began = make_template(lapstrake, min(JOBS, count)), 0, time.time()
    while ran < count and time.time() < until_s and not faults:
        seeds = range(first + ran, first + min(count, ran + JOBS))
        ran += run_folder(lapstrake, template, seeds, until_s, told=len(sys.argv) == 3)
        if ran % 500 == 0:
            print(f"{ran} schedules, {time.time() - began:.0f} s", flush=True)
    shutil.rmtree(template)
    print(f"{ran} schedules from seed {first} in {time.time() - began:.0f} s")
    print("\n".join(dict.fromkeys(faults)))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
