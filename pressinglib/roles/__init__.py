"""The method: who presses, covers, balances, holds the line, and where each should stand."""
