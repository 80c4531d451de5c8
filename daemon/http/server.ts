import { createServer, type Server } from "node:http";
import { join } from "node:path";
import express, { type Express, type RequestHandler } from "express";
import helmet from "helmet";
import { strangerRefusal } from "#daemon/http/own-page";
import type { HttpParts } from "#daemon/http/parts";
import { Refusal, refusalHandler } from "#daemon/http/refusal";
import { bakeRoutes } from "#daemon/http/routes/bakes";
import { checkRoutes } from "#daemon/http/routes/checks";
import { furnaceRoutes } from "#daemon/http/routes/furnaces";
import { healthRoutes } from "#daemon/http/routes/health";
import { jobRoutes } from "#daemon/http/routes/jobs";
import { listeningRoutes } from "#daemon/http/routes/listening";
import { materialRoutes } from "#daemon/http/routes/materials";
import { planRoutes } from "#daemon/http/routes/plans";
import { portRoutes } from "#daemon/http/routes/ports";

const LARGEST_BODY = "64kb";
/** A card with all the adaptations that its schema lets in, as a file with every number on a line of its own. */
const LARGEST_CARD = "512kb";

/** The server of the kiosk: its page, and everything that asks or changes. Not listening yet. */
export function kioskServer(parts: HttpParts): Server {
  const server = createServer(kioskApplication(parts));
  server.headersTimeout = 10_000;
  server.requestTimeout = 30_000;
  return server;
}

function kioskApplication(parts: HttpParts): Express {
  const application = express();
  application.disable("x-powered-by");
  application.use(securityHeaders());
  application.use(ownPageOnly);
  application.use("/api", neverStored);
  application.use("/api/plans", express.json({ limit: LARGEST_CARD }));
  application.use("/api", express.json({ limit: LARGEST_BODY }));
  application.use("/api/bakes", bakeRoutes(parts));
  application.use("/api/furnaces", furnaceRoutes(parts), checkRoutes(parts));
  application.use("/api/jobs", jobRoutes(parts));
  application.use("/api/listen", listeningRoutes(parts));
  application.use("/api/materials", materialRoutes(parts));
  application.use("/api/plans", planRoutes(parts));
  application.use("/api/ports", portRoutes());
  application.use("/api/health", healthRoutes(parts));
  application.use("/api", (request) => {
    throw new Refusal(404, `There is nothing at ${request.method} ${request.originalUrl.slice(0, 80)}.`);
  });
  application.use(
    "/assets",
    express.static(join(parts.kioskFolder, "assets"), { immutable: true, maxAge: "1y" }),
  );
  application.use(
    express.static(parts.kioskFolder, {
      setHeaders: (response) => response.setHeader("Cache-Control", "no-cache"),
    }),
  );
  application.use(() => {
    throw new Refusal(
      404,
      "There is no such page here. Open the kiosk's address without anything behind it.",
    );
  });
  application.use(refusalHandler(parts.log));
  return application;
}

/** Nothing is fetched from elsewhere and no script runs but the page's own; the chart sets styles inline. */
function securityHeaders(): RequestHandler {
  return helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'", "'unsafe-inline'"],
        imgSrc: ["'self'", "data:"],
        fontSrc: ["'self'"],
        mediaSrc: ["'self'"],
        manifestSrc: ["'self'"],
        connectSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    strictTransportSecurity: false,
    referrerPolicy: { policy: "no-referrer" },
  });
}

const ownPageOnly: RequestHandler = (request, _response, next) => {
  const changes = request.method !== "GET" && request.method !== "HEAD";
  const refusal = strangerRefusal(request.headers, changes);
  next(refusal === null ? undefined : new Refusal(403, refusal));
};

const neverStored: RequestHandler = (_request, response, next) => {
  response.setHeader("Cache-Control", "no-store");
  next();
};
