-- Work that no longer waits keeps its newest look alone: nothing shows the older ones of its row, and each piece of
-- work that is put off anew at every visit would else keep all visits once more.
UPDATE thread SET looks = '[' || json_extract(looks, '$[#-1]') || ']' WHERE waits = 0 AND json_array_length(looks) > 1;
