"""Launch, air, flight, bounce, skid, roll and hole: one shot from strike to rest."""
