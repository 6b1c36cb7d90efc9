"""From a picture to a draft: what her units can say of it, and in which crossings."""
