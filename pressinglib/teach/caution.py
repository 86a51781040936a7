"""The caution that stands wherever something is to be done on the grass."""

CAUTION = ("Stop for head knocks. Warm-up, heat, concussion, heading and tackling by age, safeguarding: local rules, "
           "national federation, medical staff and licensed practice decide.")
AID = "A teaching aid worked out from positions, not advice on a person."
