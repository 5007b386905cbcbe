"""A real cluster on this machine, in a process of its own.

It prints its address and the processes of its workers, and ends when its input does.
"""

import json
import sys

from distributed import LocalCluster

if __name__ == "__main__":
    with LocalCluster(n_workers=2, processes=True, threads_per_worker=1, dashboard_address=None) as cluster:
        workers = [nanny.pid for nanny in cluster.workers.values()]
        print(json.dumps({"address": cluster.scheduler_address, "workers": workers}), flush=True)
        sys.stdin.read()
