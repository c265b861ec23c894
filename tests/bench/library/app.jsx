// As many nodes, edges and labels in a general node-diagram library, worked by the same gestures.

import { createRoot } from "react-dom/client";
import { ReactFlow, ReactFlowProvider, useEdgesState, useNodesState, useReactFlow } from "@xyflow/react";
import "@xyflow/react/dist/style.css";

function Diagram() {
  const [nodes, setNodes, onNodesChange] = useNodesState([]);
  const [edges, setEdges, onEdgesChange] = useEdgesState([]);
  const flow = useReactFlow();
  window.library = {
    open(nodes, edges) {
      setNodes(nodes);
      setEdges(edges);
    },
    fit: () => flow.fitView(),
    lifeSize: () => flow.zoomTo(1),
    rename: (id, label) => setNodes((all) => all.map((node) => (node.id === id ? { ...node, data: { label } } : node))),
  };
  return <ReactFlow nodes={nodes} edges={edges} onNodesChange={onNodesChange} onEdgesChange={onEdgesChange} minZoom={0.01} fitView />;
}

createRoot(document.getElementById("root")).render(<ReactFlowProvider><Diagram /></ReactFlowProvider>);
