"""At the car: the steps of a job as they are handed over, what happened at each, and what that comes to."""
