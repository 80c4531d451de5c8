import { Router } from "express";
import { listPorts } from "#daemon/link/port-list";

/** `/api/ports`: the serial ports of this machine, by stable name. */
export function portRoutes(): Router {
  const router = Router();
  router.get("/", async (_request, response) => {
    const ports = await listPorts();
    response.json({ ports: ports.map(({ name, device, note }) => ({ stableName: name, device, note })) });
  });
  return router;
}
