"""A general solver on the same instances: OR-Tools CP-SAT, one worker, against `weftdesk schedule`.

Modelled as a careful user would: an optional interval per job, station and window, no two on a station
at once, each padded by a mean set-up, since the exact model with a circuit per station does not reach
beyond some twenty jobs. What it answers is strung in its order with true set-ups and judged by
`tests/data/dispatch/check.py`, as is what `weftdesk schedule` prints. Gaps are to the best cost known;
`none`: no plan in that time, or one that does not fit the windows with its true set-ups.

    cp_sat.py WEFTDESK [INSTANCE ...]      all times in seconds on one thread
"""
import importlib.util
import json
import pathlib
import subprocess
import sys
import time

from ortools.sat.python import cp_model

DATA = pathlib.Path(__file__).resolve().parents[2] / "data" / "dispatch"
PAD_S = 80
CP_SAT_S = (1.0, 10.0)
OURS_MS = (5, 20, 100)
SEEDS = (1, 2, 3)
SNAPSHOTS = ("d3-small28", "d4-smallday", "d5-shopday", "d6-midsnap", "d8-peaksnap")


def judge():
    """The independent judge as a module."""
    spec = importlib.util.spec_from_file_location("check", DATA / "check.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


CHECK = judge()


def stringing_s(job, station):
    return (job["base"] * station["pace"] + 500) // 1000


def may(instance, job, station):
    player = next(p for p in instance["players"] if p["id"] == job["player"])
    if job["swivel"] and station["clamp"] != "swivel":
        return False
    return player["hold"] != "hard" or player["home"] == station["id"]


def ours(weftdesk, path, *options):
    """A schedule that the program prints; nothing where it refuses."""
    told = subprocess.run([weftdesk, "schedule", str(path), *options], capture_output=True, text=True)
    return json.loads(told.stdout) if told.returncode == 0 else None


def model_of(instance):
    """The model with its variables: (model, end of each job, presence by job and place, starts)."""
    model, horizon = cp_model.CpModel(), instance["horizon"]
    per_station = {station["id"]: [] for station in instance["stations"]}
    present, ends, starts, terms = {}, {}, {}, []
    players = {player["id"]: player for player in instance["players"]}
    prices = instance["cost"]
    at_station = {}
    for job in instance["jobs"]:
        number = job["id"]
        ends[number] = model.new_int_var(job["release"], horizon, f"end{number}")
        here = []
        for station in instance["stations"]:
            if not may(instance, job, station):
                continue
            length = PAD_S + stringing_s(job, station)
            for window, (opens, closes) in enumerate(station["windows"]):
                first = max(opens, job["release"])
                if first + length > min(closes, horizon):
                    continue
                is_here = model.new_bool_var(f"p{number}_{station['id']}_{window}")
                start = model.new_int_var(first, min(closes, horizon) - length, f"s{number}_{station['id']}_{window}")
                interval = model.new_optional_fixed_size_interval_var(start, length, is_here, f"i{number}_{station['id']}_{window}")
                per_station[station["id"]].append(interval)
                model.add(ends[number] == start + length).only_enforce_if(is_here)
                present[number, station["id"], window] = is_here
                starts[number, station["id"], window] = start
                here.append((station["id"], is_here))
        model.add_exactly_one(is_here for _, is_here in here)
        late_s = model.new_int_var(0, horizon, f"t{number}")
        model.add(late_s >= ends[number] - job["due"])
        late = model.new_bool_var(f"l{number}")
        model.add(ends[number] <= job["due"]).only_enforce_if(late.negated())
        terms += [prices["tardy"] * job["weight"] * late_s, prices["late"] * late]
        terms.append(prices["flow"] * (ends[number] - job["release"]))
        home = players[job["player"]]["home"]
        if home is not None:
            terms += [prices["break"] * is_here for station, is_here in here if station != home]
        for station, is_here in here:
            at_station.setdefault((job["player"], station), []).append(is_here)
    for (player, station), visits in at_station.items():
        if players[player]["home"] is None:
            used = model.new_bool_var(f"u{player}_{station}")
            model.add_max_equality(used, visits)
            terms.append(prices["break"] * used)
    for intervals in per_station.values():
        model.add_no_overlap(intervals)
    model.minimize(sum(terms))
    return model, ends, present, starts


def strung(instance, order):
    """The schedule of these sequences with true set-ups, each block as early as it may."""
    jobs = {job["id"]: job for job in instance["jobs"]}
    ops = []
    for station in instance["stations"]:
        before, free, windows = station["loaded"], -(10**9), list(station["windows"])
        for number in order.get(station["id"], []):
            job = jobs[number]
            length = CHECK.setup(instance, before, job) + stringing_s(job, station)
            start = max(free, job["release"])
            fits = ((max(start, a), b) for a, b in windows if max(start, a) + length <= b)
            start = next(fits, (None, None))[0]
            if start is None:
                return None
            ops.append({"job": number, "station": station["id"], "start": start, "end": start + length})
            before, free = job, start + length
    return {"instance": instance["name"], "ops": ops}


def cp_sat(instance, seconds, begin):
    """What CP-SAT finds in so many seconds, cold or from our greedy start; nothing where it finds no plan."""
    model, ends, present, starts = model_of(instance)
    if begin:
        for op in begin["ops"]:
            for key in (key for key in present if key[0] == op["job"]):
                opens, closes = next(s for s in instance["stations"] if s["id"] == key[1])["windows"][key[2]]
                inside = key[1] == op["station"] and opens <= op["start"] and op["end"] <= closes
                model.add_hint(present[key], inside)
                if inside:
                    model.add_hint(starts[key], op["start"])
            model.add_hint(ends[op["job"]], op["end"])
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    order = {}
    for (number, station, window), is_here in present.items():
        if solver.boolean_value(is_here):
            order.setdefault(station, []).append((solver.value(starts[number, station, window]), number))
    return strung(instance, {station: [number for _, number in sorted(jobs)] for station, jobs in order.items()})


def gap(instance, schedule, best):
    """Per cent over the best cost known, or why there is none."""
    if schedule is None:
        return "none"
    verdict = CHECK.check(instance, schedule)
    if not verdict["feasible"]:
        return "not feasible"
    over = 100.0 * (verdict["cost"] / best - 1.0)
    return f"{over:+.2f} %" if over < 1000 else f"{verdict['cost'] / best:.0f} x"


def is_better(instance, schedule, other):
    """Whether the schedule holds with true set-ups and costs less than the other."""
    if schedule is None:
        return False
    verdict = CHECK.check(instance, schedule)
    return verdict["feasible"] and verdict["cost"] < CHECK.check(instance, other)["cost"]


def mean_gap(instance, schedules, best):
    costs = [CHECK.check(instance, schedule)["cost"] for schedule in schedules if schedule]
    return f"{100.0 * (sum(costs) / len(costs) / best - 1.0):+.2f} %" if costs else "none"


def row(weftdesk, name, best):
    path = DATA / "dev" / f"{name}.json"
    instance = json.loads(path.read_text())
    greedy = ours(weftdesk, path, "--rule", "greedy")
    cells = [gap(instance, greedy, best)]
    for budget in OURS_MS:
        found = [ours(weftdesk, path, "--budget-ms", str(budget), "--seed", str(seed)) for seed in SEEDS]
        cells.append(mean_gap(instance, found, best))
    for begin in (None, greedy):
        for seconds in CP_SAT_S:
            found = cp_sat(instance, seconds, begin)
            # who starts from a plan and finds none that is better keeps it
            cells.append("= greedy" if begin and not is_better(instance, found, begin) else gap(instance, found, best))
    return cells


def main():
    weftdesk, names = sys.argv[1], sys.argv[2:] or SNAPSHOTS
    best = json.loads((DATA / "dev" / "best.json").read_text())
    heading = ["greedy"] + [f"ours {budget} ms" for budget in OURS_MS]
    heading += [f"CP-SAT {kind} {seconds:.0f} s" for kind in ("cold", "from greedy") for seconds in CP_SAT_S]
    print("gap to the best cost known; ours: mean of", len(SEEDS), "seeds; one thread each")
    print("| instance | " + " | ".join(heading) + " |")
    print("|---" * (len(heading) + 1) + "|")
    for name in names:
        print(f"| {name} | " + " | ".join(row(weftdesk, name, best[name]["cost"])) + " |", flush=True)


if __name__ == "__main__":
    began = time.monotonic()
    main()
    print(f"{time.monotonic() - began:.0f} s in all")
