-- attempt: keeps ever longer texts
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  local kept, n = {}, 1
  while true do kept[n] = string.rep(tostring(n), 100000); n = n + 1 end
end }
