-- Where the deck's sound sample is to be heard, in the listing.

ALTER TABLE listing_text ADD COLUMN sample TEXT;
