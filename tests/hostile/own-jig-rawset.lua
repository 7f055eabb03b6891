-- Told as failed by name: what is put into `jig` on demand must not leave it open for others.
return { check = function(jig)
  local parts = jig:parts()
  rawset(jig, "parts", function() return {} end)
  return { notice{ check = "hostile", message = "BREACH", remedy = "none" } }
end }
