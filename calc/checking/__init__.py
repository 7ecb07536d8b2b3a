"""The frame of the checks: what a check writes, the register, and the runner that makes findings of it."""
