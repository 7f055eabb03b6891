-- attempt: returns a table with the very fields of a finding that was made
-- expect: contained: the result is refused by name (never read as clean), within 1 s and 64 MiB
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  local real = notice { check = "hostile", message = "m", remedy = "r" }
  return { { check = real.check, signal = "notice", number = real.number } }
end }
