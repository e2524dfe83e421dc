"""Getting a case in: from answers, from a drawing, from a penetration schedule."""
