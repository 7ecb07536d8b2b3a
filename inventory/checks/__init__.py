"""The background checks of kits: what makes one due, the workers that run them, and what they leave behind.

The queue is ``inventory.base.queues``; here is what a kit's check does, and the message that wakes a worker.
"""
