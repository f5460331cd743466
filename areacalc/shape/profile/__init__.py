"""profile: turned parts as points, read, checked and revolved.

Other rooms import the modules named here, and no others.
"""

__all__ = ["half_section", "profile", "revolve", "sketch", "thread", "turn"]
