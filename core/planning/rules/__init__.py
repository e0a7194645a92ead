"""The rules of a plan and the checker that every plan passes; nothing here knows how a plan is made."""
