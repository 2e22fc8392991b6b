"""The job sheet that a technician takes to the car: to lay out with tape, plumb bob and chalk line, and to write on."""
