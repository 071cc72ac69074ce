"""Text in and out: job, shop and history files as people write them, every fault named at once."""
