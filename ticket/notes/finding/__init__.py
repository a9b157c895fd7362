"""Reading a finding: every token of a typed line is accounted for, and what nobody explains is left over."""
