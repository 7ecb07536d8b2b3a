"""The background checks of kits: what makes one due, the workers that run them, and what they leave behind.

The row of the kit is the queue; a message is only the doorbell. Lost messages, dead workers and an absent broker lose
nothing, because whoever looks next finds the row still due.
"""
