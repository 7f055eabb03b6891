-- attempt: returns a list with the jig in it
-- expect: contained: the result is refused by name (never read as clean), within 1 s and 64 MiB
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig) return { jig } end }
