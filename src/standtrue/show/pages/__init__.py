"""Each page of the app as one frozen value: its sentences, rows and pictures. The web sets them, and nothing else."""
