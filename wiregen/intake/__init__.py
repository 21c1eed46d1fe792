"""What comes in and goes out beside the design file: pin tables, two plugs held together."""
