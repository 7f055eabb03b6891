-- attempt: hands solve a wish whose metatable never answers
-- expect: contained: failed by name, or a result without the word BREACH; within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  local spin = function() while true do end end
  jig:solve(setmetatable({}, { __index = spin, __iter = spin, __len = spin }))
end }
