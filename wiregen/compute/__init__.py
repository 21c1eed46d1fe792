"""What flows: operating states of the declared network, protection, sizes.

Nothing here is imported by reading or drawing. numpy and scipy are imported when a state is
computed, not before.
"""
