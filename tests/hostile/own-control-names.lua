-- attempt: asks for names full of control characters, so that the host's error forges lines
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  jig:stress("R1\27[2J\n::error::made up\r", "power")
end }
